package tables

import (
	"slices"
	"strings"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// shelf is what cards and the sheet would say now, beside what those that stand say.
type shelf struct {
	plates  map[foray.ID]hall.Plate
	says    map[foray.ID]string // what a plate's card would say now
	texts   map[foray.ID]hall.CardText
	sheet   string
	papers  []store.Paper
	tables  map[foray.ID]string
	ordered []hall.Plate
	stoodOn map[foray.ID]foray.ID // the table on which a plate that has left stood last: its card may still be there
	seq     int64
}

func newShelf(l *hall.Look) (*shelf, error) {
	s := &shelf{plates: map[foray.ID]hall.Plate{}, says: map[foray.ID]string{}, texts: map[foray.ID]hall.CardText{}}
	var err error
	if s.ordered, err = l.Plates(); err != nil {
		return nil, err
	}
	writer, err := l.NewCardWriter(s.ordered)
	if err != nil {
		return nil, err
	}
	if s.papers, err = l.Tx.PapersStanding(l.Scope.Society, l.Scope.Event); err != nil {
		return nil, err
	}
	carded := map[foray.ID]bool{}
	for _, p := range s.papers {
		carded[p.CollectionID] = true
	}
	for _, p := range s.ordered {
		s.plates[p.ID] = p
		if p.Whereabouts != foray.OnTable && !carded[p.ID] {
			continue
		}
		s.texts[p.ID] = writer.Write(p)
		if s.says[p.ID], err = s.texts[p.ID].Said(); err != nil {
			return nil, err
		}
	}
	if s.tables, err = l.TableNames(); err != nil {
		return nil, err
	}
	if s.seq, err = l.Tx.ChangeSeq(l.Scope.Society, l.Scope.Event); err != nil {
		return nil, err
	}
	event, err := l.Event()
	if err != nil {
		return nil, err
	}
	made, _, err := l.WarningSheet(event)
	if err != nil {
		return nil, err
	}
	if s.sheet, err = hall.TextOfSheet(made).Said(); err != nil {
		return nil, err
	}
	return s, s.lastTables(l)
}

func (s *shelf) lastTables(l *hall.Look) error {
	s.stoodOn = map[foray.ID]foray.ID{}
	for _, p := range s.papers {
		if p.Kind != card || s.stands(p.CollectionID) {
			continue
		}
		places, err := l.Tx.Placements(l.Scope.Society, l.Scope.Event, p.CollectionID)
		if err != nil {
			return err
		}
		for _, at := range places { // oldest first
			if !at.TableID.IsZero() {
				s.stoodOn[p.CollectionID] = at.TableID
			}
		}
	}
	return nil
}

// stands reports whether a plate's card belongs beside it on a table.
func (s *shelf) stands(collection foray.ID) bool {
	p, ok := s.plates[collection]
	return ok && p.Whereabouts == foray.OnTable
}

// right reports whether a standing paper says what is so and where it is so.
func (s *shelf) right(p store.Paper) bool {
	if p.Kind == sheet {
		return p.Said == s.sheet
	}
	return s.stands(p.CollectionID) && p.Said == s.says[p.CollectionID]
}

// hasRight reports whether a paper that is right already stands in the place of a wrong one.
func (s *shelf) hasRight(wrong store.Paper) bool {
	return slices.ContainsFunc(s.papers, func(p store.Paper) bool {
		return p.Kind == wrong.Kind && p.CollectionID == wrong.CollectionID && s.right(p)
	})
}

func (s *shelf) jobs() ([]Job, error) {
	jobs := []Job{}
	for _, p := range s.papers {
		if s.right(p) {
			continue
		}
		j := Job{Paper: p.ID, Kind: "swap_" + p.Kind, Collection: p.CollectionID, Ready: s.hasRight(p), MadeAt: p.MadeAt.Time}
		if p.Kind == card {
			was, err := hall.ReadCard(p.Said)
			if err != nil {
				return nil, err
			}
			j.Number, j.Was, j.Is = was.Number, strings.Join(was.Names, " / "), strings.Join(s.texts[p.CollectionID].Names, " / ")
			j.Differs = s.texts[p.CollectionID].Differs(was)
			j.Table = s.tables[s.plates[p.CollectionID].TableID]
			if !s.stands(p.CollectionID) {
				j.Kind, j.Table = "away_card", s.tables[s.stoodOn[p.CollectionID]]
			}
		}
		jobs = append(jobs, j)
	}
	return jobs, nil
}

// lacking lists the plates on tables that have no card at all.
func (s *shelf) lacking() []hall.Plate {
	has := map[foray.ID]bool{}
	for _, p := range s.papers {
		has[p.CollectionID] = has[p.CollectionID] || p.Kind == card
	}
	return slices.DeleteFunc(slices.Clone(s.ordered), func(p hall.Plate) bool { return p.Whereabouts != foray.OnTable || has[p.ID] })
}
