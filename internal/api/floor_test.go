package api_test

import (
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall/fieldwork"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hall/tables"
)

// wholeFloor is a command of the tables and their papers to which nothing but a right could be lacking.
func (s *served) wholeFloor(t *testing.T, kind, way string) object {
	t.Helper()
	switch kind + "/" + way {
	case "plate.place-several.v1/table", "plate.place-several.v1/desk", "plate.place-several.v1/dryer", "plate.place-several.v1/discarded":
		number := s.signed(t)
		body := object{"plates": []object{{"number": number}}, "where": way}
		switch way {
		case "table":
			body["table"] = "1"
		case "dryer":
			body["plates"] = []object{{"number": number, "position": "tray of " + number}}
		}
		return s.cmd(t, kind, body)
	case "table.sweep.v1/":
		return s.cmd(t, kind, object{"table": "1", "plates": []object{{"number": s.onTable(t)}}})
	case "card.make.v1/":
		return s.cmd(t, kind, object{"numbers": []string{s.onTable(t)}})
	case "paper.swap.v1/":
		return s.cmd(t, kind, object{"paper": s.wrongCard(t)})
	case "sheet.hang.v1/":
		papers, err := tables.SeePapers(ctx, s.Hall, s.As[access.Steward], s.Scope)
		s.must(t, err)
		return s.cmd(t, kind, object{"digest": papers.Sheet})
	}
	return nil
}

// wholeOwn is a command that depends on who wrote down what it is about.
func (s *served) wholeOwn(t *testing.T, as, kind, way string) object {
	t.Helper()
	switch kind + "/" + way {
	case "incident.open.v1/":
		return s.cmd(t, kind, object{"who": "child"})
	case "incident.note.v1/of-another", "incident.note.v1/own", "incident.close.v1/of-another", "incident.close.v1/own":
		return s.cmd(t, kind, object{"incident": s.incident(t, s.owner(as, way)), "words": "rang the number"})
	case "field.record.v1/":
		return s.cmd(t, kind, object{"name": "Panellus stipticus", "again": true})
	case "field.record.v1/for-another":
		return s.cmd(t, kind, object{"name": "Panellus stipticus", "again": true, "observer": "Person second"})
	case "field.tally.v1/of-another", "field.tally.v1/own":
		return s.cmd(t, kind, object{"record": s.seenBy(t, s.owner(as, way)), "n": 2})
	case "field.stand.v1/":
		return s.cmd(t, kind, object{"record": s.seenBy(t, s.As[access.Desk])})
	case "field.stand.v1/for-a-determiner":
		return s.cmd(t, kind, object{"record": s.seenBy(t, s.As[access.Desk]), "determiner": s.Third.Person})
	case "field.strike.v1/of-another", "field.strike.v1/own":
		return s.cmd(t, kind, object{"record": s.seenBy(t, s.owner(as, way)), "reason": "it was a crust"})
	case "token.end.v1/":
		actor, _, err := s.Desk.Who(ctx, s.token(t, as), "token")
		s.must(t, err)
		return s.cmd(t, kind, object{"session": actor.Session})
	case "session.end-all.v1/":
		return s.cmd(t, kind, object{})
	}
	return nil
}

// owner is the persona for what is its own; for what is another's, and where the persona could not have written it
// down, somebody who is no persona.
func (s *served) owner(as, way string) access.Actor {
	if by, known := s.As[access.Right(as)]; known && way == "own" {
		return by
	}
	return s.Second
}

// incident is that something was eaten, written down by somebody; where they may not, by somebody else.
func (s *served) incident(t *testing.T, by access.Actor) foray.ID {
	t.Helper()
	if by.Person == s.As[access.Member].Person || !by.SignedIn() {
		by = s.Second
	}
	opened, err := safety.OpenIncident(ctx, s.Hall, by, s.Scope, s.Command(t), safety.Eaten{Who: "child"})
	s.must(t, err)
	return opened.Incident
}

func (s *served) seenBy(t *testing.T, by access.Actor) foray.ID {
	t.Helper()
	seen, err := fieldwork.AddRecord(ctx, s.Hall, by, s.Scope, s.Command(t), fieldwork.Record{Name: "Panellus stipticus", Again: true})
	s.must(t, err)
	return seen.Record
}

// signed is the number of a find that has a name, so that it may be discarded too.
func (s *served) signed(t *testing.T) string {
	t.Helper()
	id, number := s.logged(t)
	word := object{"collection": id, "name": object{"text": "Boletus edulis"}, "basis": "macroscopic"}
	status(t, s.send(t, "second", on(0, s.cmd(t, "slip.sign-off.v1", word)))[0], "applied")
	return number
}

func (s *served) placed(t *testing.T, number, position, table string, where foray.Whereabouts) {
	t.Helper()
	_, err := tables.PlaceSeveral(ctx, s.Hall, s.As[access.Steward], s.Scope, s.Command(t),
		tables.Several{Plates: []tables.Spot{{Number: number, Position: position}}, Where: where, Table: table})
	s.must(t, err)
}

func (s *served) onTable(t *testing.T) string {
	t.Helper()
	_, number := s.logged(t)
	s.placed(t, number, "", "1", foray.OnTable)
	return number
}

// wrongCard is a card that still stands, though its plate went to the dryer.
func (s *served) wrongCard(t *testing.T) foray.ID {
	t.Helper()
	number := s.onTable(t)
	made, err := tables.MakeCards(ctx, s.Hall, s.As[access.Steward], s.Scope, s.Command(t), tables.Cards{Numbers: []string{number}})
	s.must(t, err)
	s.placed(t, number, "tray of "+number, "", foray.InDryer)
	return made.Cards[0].Paper
}
