package safety

import (
	"context"
	"slices"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// Eaten is that something was eaten, as far as it is known in the first minute. Nothing but who is needed.
type Eaten struct {
	Number    string    `json:"number,omitempty"` // of the plate
	What      string    `json:"what,omitempty"`   // in words, where the plate is not known
	Who       string    `json:"who"`              // adult, child, animal
	EatenAt   time.Time `json:"eaten_at,omitzero"`
	EatenText string    `json:"eaten_text,omitempty"` // "at breakfast"
	HowMuch   string    `json:"how_much,omitempty"`
	Signs     string    `json:"signs,omitempty"`
}

// Opened is the answer.
type Opened struct {
	Incident foray.ID `json:"incident"`
}

// Eaters lists who may have eaten something.
var Eaters = []string{"adult", "child", "animal"}

// mostWords is the longest text of an incident.
const mostWords = 2000

// OpenIncident writes down that something was eaten. Anybody of the staff may; from then on the plate is kept.
func OpenIncident(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Eaten) (Opened, error) {
	cmd.Type, cmd.Body = "incident.open.v1", in
	return hall.Do(ctx, h, actor, access.NameOwn, scope, cmd, func(w *hall.Write) (Opened, error) {
		if !w.Held.Staff() {
			return Opened{}, hall.NotAllowed(access.TendHazards)
		}
		i, err := newIncident(w, in)
		if err != nil {
			return Opened{}, err
		}
		w.Note("incident.open", i.ID, "")
		w.Changed("safety", scope.Event) // everybody sees that something moved, and nobody what
		return Opened{Incident: i.ID}, w.Tx.AddIncident(i)
	})
}

func newIncident(w *hall.Write, in Eaten) (store.Incident, error) {
	i := store.Incident{SocietyID: w.Scope.Society, EventID: w.Scope.Event, Who: in.Who, What: strings.TrimSpace(in.What), EatenAt: store.At(in.EatenAt),
		EatenText: strings.TrimSpace(in.EatenText), HowMuch: strings.TrimSpace(in.HowMuch), Signs: strings.TrimSpace(in.Signs),
		OpenedBy: w.Actor.Person, OpenedAt: w.HappenedStamp()}
	wrong := map[string]message.Text{}
	if !slices.Contains(Eaters, in.Who) {
		wrong["who"] = message.T("incident.who-missing")
	}
	for field, text := range map[string]string{"what": i.What, "eaten_text": i.EatenText, "how_much": i.HowMuch, "signs": i.Signs} {
		if len(text) > mostWords {
			wrong[field] = message.T("text.too-long", "most", mostWords)
		}
	}
	if in.EatenAt.After(w.Now) {
		wrong["eaten_at"] = message.T("incident.not-yet")
	}
	if len(wrong) > 0 {
		return i, fault.Many(wrong)
	}
	var err error
	if i.CollectionID, err = plateEaten(w, in.Number); err != nil {
		return i, err
	}
	i.ID, err = w.NewID()
	return i, err
}

// plateEaten finds the plate. A number that is not there must not keep anybody from getting help: what was typed can
// stand in the words.
func plateEaten(w *hall.Write, written string) (foray.ID, error) {
	if strings.TrimSpace(written) == "" {
		return foray.ID{}, nil
	}
	c, err := w.CollectionWritten(written)
	if fault.Is(err, fault.NotFound) {
		return foray.ID{}, fault.Wrong("number", "incident.no-such-plate", "number", written)
	}
	if err != nil {
		return foray.ID{}, err
	}
	// Whoever is about to throw it away waits for this, and then sees that it is kept.
	_, err = w.Tx.LockCollection(w.Scope.Society, w.Scope.Event, c.ID)
	return c.ID, err
}

// Said is a note on an incident: who was called, what they answered.
type Said struct {
	Incident foray.ID `json:"incident"`
	Words    string   `json:"words"`
	Number   string   `json:"number,omitempty"` // the plate, where it is known by now
}

// NoteIncident adds a note, and the plate where it was found out. For who opened it and for the safety lead.
func NoteIncident(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Said) (Opened, error) {
	cmd.Type, cmd.Body = "incident.note.v1", in
	return hall.Do(ctx, h, actor, access.NameOwn, scope, cmd, func(w *hall.Write) (Opened, error) {
		i, err := lockIncident(w, in.Incident)
		if err != nil {
			return Opened{}, err
		}
		if in.Number != "" {
			plate, err := plateEaten(w, in.Number)
			if err != nil {
				return Opened{}, err
			}
			if !i.CollectionID.IsZero() && i.CollectionID != plate {
				return Opened{}, fault.Wrong("number", "incident.another-plate")
			}
			i.CollectionID = plate
			if err := w.Tx.SetIncident(i); err != nil {
				return Opened{}, err
			}
		}
		return Opened{Incident: i.ID}, addNote(w, i.ID, in.Words)
	})
}

// CloseIncident says how it ended; only the safety lead does.
func CloseIncident(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Said) (Opened, error) {
	cmd.Type, cmd.Body = "incident.close.v1", in
	return hall.Do(ctx, h, actor, access.TendHazards, scope, cmd, func(w *hall.Write) (Opened, error) {
		i, err := lockIncident(w, in.Incident)
		if err != nil {
			return Opened{}, err
		}
		if err := addNote(w, i.ID, in.Words); err != nil {
			return Opened{}, err
		}
		i.ClosedBy, i.ClosedAt, i.ClosingWords = w.Actor.Person, w.Stamp(), strings.TrimSpace(in.Words)
		return Opened{Incident: i.ID}, w.Tx.SetIncident(i)
	})
}

func lockIncident(w *hall.Write, id foray.ID) (store.Incident, error) {
	i, err := w.Tx.LockIncident(w.Scope.Society, w.Scope.Event, id)
	switch {
	case err != nil:
		return i, err
	case !w.SeesIncident(i):
		return i, fault.Missing()
	case !i.ClosedAt.IsZero():
		return i, fault.New(fault.Refused, "incident.closed")
	}
	return i, nil
}

func addNote(w *hall.Write, incident foray.ID, words string) error {
	words = strings.TrimSpace(words)
	if words == "" || len(words) > mostWords {
		return fault.Wrong("words", "incident.words-missing", "most", mostWords)
	}
	id, err := w.NewID()
	if err != nil {
		return err
	}
	w.Note(w.Command.Type, incident, "")
	w.Changed("safety", w.Scope.Event)
	return w.Tx.AddIncidentNote(store.IncidentNote{SocietyID: w.Scope.Society, EventID: w.Scope.Event, ID: id, IncidentID: incident, Words: words,
		NotedBy: w.Actor.Person, HappenedAt: w.HappenedStamp(), RecordedAt: w.Stamp()})
}

// Help is what everybody of the staff is shown before anything is typed: whom to call and what to do.
type Help struct {
	Event   store.Event
	Contact *store.PoisonContact // nil: none was typed in
	Staff   map[foray.ID]store.Person
	Eaten   []message.Text
	Known   []store.Incident // those this person may see, open and closed, the newest first
	Others  int              // open ones that are none of this person's
}

// SeeHelp reads whom to call.
func SeeHelp(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Help, error) {
	var out Help
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) (err error) {
		if !l.Held.Staff() {
			return hall.NotAllowed(access.TendHazards)
		}
		if out.Event, err = l.Tx.EventByID(scope.Society, scope.Event); err != nil {
			return err
		}
		sheet, contact, err := l.WarningSheet(out.Event)
		if err != nil {
			return err
		}
		out.Contact, out.Eaten = contact, sheet.Eaten
		if out.Staff, err = l.PeopleNames(); err != nil {
			return err
		}
		all, err := l.Tx.Incidents(scope.Society, scope.Event)
		for _, i := range all {
			switch {
			case l.SeesIncident(i):
				out.Known = append(out.Known, i)
			case i.ClosedAt.IsZero():
				out.Others++
			}
		}
		return err
	})
	return out, err
}

// Case is an incident with everything that whoever picks up the telephone may ask.
type Case struct {
	Help
	store.Incident
	Plate       *hall.Plate
	Parts       []hall.Plate // what was split off it, or what it was put together with
	Assessment  hazard.Assessment
	Doubles     []hazard.Double // what the plate's names are mistaken for
	Notes       []store.IncidentNote
	People      map[foray.ID]store.Person
	Identifiers []Near
	Held        access.Held
	Tables      map[foray.ID]store.HallTable
}

// Near is an identifier, and when they last did something here: who was here just now is in the hall.
type Near struct {
	Person store.Person
	Last   time.Time
}

// SeeIncident shows an incident to who opened it and to the safety lead; that they read it is written down.
func SeeIncident(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, id foray.ID) (Case, error) {
	var c Case
	help, err := SeeHelp(ctx, h, actor, scope)
	if err != nil {
		return c, err
	}
	err = h.ViewPrivate(ctx, actor, access.NameOwn, scope, "incident", id, func(l *hall.Look) (err error) {
		c = Case{Help: help, Held: l.Held}
		all, err := l.Tx.Incidents(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		at := slices.IndexFunc(all, func(i store.Incident) bool { return i.ID == id })
		if at < 0 || !l.SeesIncident(all[at]) {
			return fault.Missing()
		}
		c.Incident = all[at]
		if c.Notes, err = l.Tx.IncidentNotes(scope.Society, scope.Event, id); err != nil {
			return err
		}
		if c.People, err = l.PeopleNames(); err != nil {
			return err
		}
		tables, err := l.Tx.HallTables(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		c.Tables = map[foray.ID]store.HallTable{}
		for _, t := range tables {
			c.Tables[t.ID] = t
		}
		plates, err := l.AllNumbered()
		if err != nil {
			return err
		}
		if err := c.suspect(l, plates); err != nil {
			return err
		}
		return c.near(l, plates)
	})
	return c, err
}

// suspect works out what the plate may be, with everything that was split off it or that it was put together with: what
// was eaten may have been of any of them, and the worst counts.
func (c *Case) suspect(l *hall.Look, plates []hall.Plate) error {
	if c.CollectionID.IsZero() {
		return nil
	}
	became, err := l.Became(c.CollectionID)
	if err != nil {
		return err
	}
	var questions []hazard.Question
	for _, p := range plates {
		switch {
		case p.ID == c.CollectionID:
			c.Plate = &p
		case !slices.Contains(became, p.ID):
			continue
		default:
			c.Parts = append(c.Parts, p)
		}
		questions = append(questions, p.Questions()...)
		for _, asked := range p.Standing.Question {
			c.Doubles = append(c.Doubles, l.Hall.Knowledge.Hazards.Doubles(hall.Written(asked.SlipName))...)
		}
	}
	c.Assessment = l.Hall.Knowledge.Hazards.Worst(questions, c.Event.Region)
	return nil
}

// near lists who may determine here, those who wrote a slip last first.
func (c *Case) near(l *hall.Look, plates []hall.Plate) error {
	determiners, err := l.Determiners()
	if err != nil {
		return err
	}
	last := map[foray.ID]time.Time{}
	for _, p := range plates {
		for _, s := range p.Slips {
			if s.RecordedAt.After(last[s.Determiner]) {
				last[s.Determiner] = s.RecordedAt
			}
		}
	}
	for _, p := range determiners {
		c.Identifiers = append(c.Identifiers, Near{Person: p, Last: last[p.ID]})
	}
	slices.SortStableFunc(c.Identifiers, func(a, b Near) int { return b.Last.Compare(a.Last) })
	return nil
}
