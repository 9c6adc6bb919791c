// Package fieldwork is what was seen outside and left where it was: a name, a place, an observer, and how many. Nothing
// here has a plate, and so no number, label or place on a table. Records, words on them and counts are only ever added;
// a record counts on the list only while somebody who may determine stands behind it.
package fieldwork

import (
	"cmp"
	"context"
	"slices"
	"strconv"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

const (
	mostText = 500
	// mostCount is more than anybody counts by eye; what is sown like grass is estimated.
	mostCount = 100000
)

// Record is something that was seen.
type Record struct {
	ID        foray.ID `json:"id,omitzero"`        // made by the device, so that it can count before it is heard
	Team      string   `json:"team,omitempty"`     // id or number
	Site      string   `json:"site,omitempty"`     // id, code or name; empty: the team's
	Observer  string   `json:"observer,omitempty"` // name; empty: whoever writes
	Name      string   `json:"name"`
	Substrate string   `json:"substrate,omitempty"`
	Host      string   `json:"host,omitempty"`
	Outside   bool     `json:"outside,omitempty"`
	Remarks   string   `json:"remarks,omitempty"`
	Count     int      `json:"count,omitempty"` // 0: one
	Again     bool     `json:"again,omitempty"` // a record of its own, though there is one of this name from this site
}

// Stood is a record after what was written.
type Stood struct {
	Record    foray.ID `json:"record"`
	Name      string   `json:"name"`
	Count     int      `json:"count"`
	Confirmed bool     `json:"confirmed"`
	Struck    bool     `json:"struck,omitempty"`
}

// AddRecord writes down what was seen. Where the same taxon from the same site is there already, and whoever writes may
// add to it, the answer is a Conflict with that record: count only, or say that it is another. What is entered by its
// observer, who may determine here, has somebody behind it at once.
func AddRecord(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Record) (Stood, error) {
	cmd.Type, cmd.Body = "field.record.v1", in
	return hall.Do(ctx, h, actor, access.NameOwn, scope, cmd, func(w *hall.Write) (Stood, error) {
		if err := cmp.Or(open(w), w.TakesIn()); err != nil {
			return Stood{}, err
		}
		r, err := fill(w, in)
		if err != nil {
			return Stood{}, err
		}
		if !in.Again {
			if err := unseen(w, r); err != nil {
				return Stood{}, err
			}
		}
		if err := keep(w, &r, in.ID); err != nil {
			return Stood{}, err
		}
		if err := count(w, r.ID, max(in.Count, 1)); err != nil {
			return Stood{}, err
		}
		may, err := w.MayDetermine(r.ObserverID)
		if err == nil && may && r.ObserverID == w.Actor.Person && w.Held.Can(access.SignOff) {
			err = say(w, r.ID, hall.FieldStand, w.Actor.Person, "")
		}
		if err != nil {
			return Stood{}, err
		}
		w.Note("field.record", r.ID, hall.Written(seen(r).SlipName()))
		w.Changed("field", r.ID)
		return stood(w, r.ID)
	})
}

func seen(r store.FieldRecord) hall.SeenThere { return hall.SeenThere{FieldRecord: r} }

// open refuses what comes while the event is lent; after the hall is closed records still come in, until the event is.
func open(w *hall.Write) error {
	event, err := w.Event()
	if err == nil && event.Home == "lent" {
		err = fault.New(fault.Refused, "event.is-lent")
	}
	return err
}

// fill reads the fields, naming every one that is wrong.
func fill(w *hall.Write, in Record) (store.FieldRecord, error) {
	r := store.FieldRecord{SocietyID: w.Scope.Society, EventID: w.Scope.Event, Substrate: tidy(in.Substrate), Host: tidy(in.Host),
		Outside: in.Outside, Remarks: strings.TrimSpace(in.Remarks), EnteredBy: w.Actor.Person, HappenedAt: w.HappenedStamp(), RecordedAt: w.Stamp()}
	wrong := map[string]message.Text{}
	for field, text := range map[string]string{"substrate": in.Substrate, "host": in.Host, "remarks": in.Remarks} {
		if len(text) > mostText {
			wrong[field] = message.T("text.too-long", "most", mostText)
		}
	}
	if in.Count < 0 || in.Count > mostCount {
		wrong["count"] = message.T("seen.count-wrong", "most", mostCount)
	}
	name, err := w.ReadName(hall.NameInput{Text: in.Name}, 1, nil)
	if err != nil {
		return r, err
	}
	if name.Verbatim == "" {
		wrong["name"] = message.T("seen.name-missing")
	}
	r.Verbatim, r.NameKey, r.CurrentKey, r.Name, r.Author, r.NameRank = name.Verbatim, name.Key, name.CurrentKey, name.Name, name.Author, name.NameRank
	r.Qualifier, r.QualifierPosition, r.ChecklistRev = name.Qualifier, name.Position, name.ChecklistRev
	team, err := whereabouts(&w.Look, &r, in, wrong)
	if err != nil {
		return r, err
	}
	if len(wrong) > 0 {
		return r, fault.Many(wrong)
	}
	return r, observed(w, &r, in.Observer, team)
}

// whereabouts finds the team and the site; a site that is not said is the team's.
func whereabouts(l *hall.Look, r *store.FieldRecord, in Record, wrong map[string]message.Text) (store.Team, error) {
	teams, err := l.Tx.Teams(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return store.Team{}, err
	}
	var team store.Team
	for _, t := range teams {
		if in.Team != "" && (t.ID.String() == in.Team || strconv.Itoa(t.Number) == in.Team) {
			team, r.TeamID, r.SiteID = t, t.ID, t.SiteID
		}
	}
	if in.Team != "" && team.ID.IsZero() {
		wrong["team"] = message.T("field.team-unknown", "team", in.Team)
	}
	if in.Site == "" {
		return team, nil
	}
	sites, err := sitesFor(l)
	i := slices.IndexFunc(sites, func(s store.Site) bool {
		return s.ID.String() == in.Site || strings.EqualFold(s.Code, in.Site) || strings.EqualFold(s.Name, in.Site)
	})
	if i < 0 {
		wrong["site"] = message.T("field.site-unknown", "site", in.Site)
		return team, err
	}
	r.SiteID = sites[i].ID
	return team, err
}

// observed settles who saw it: oneself, or anybody where the writer runs the team or may name what others found.
func observed(w *hall.Write, r *store.FieldRecord, name string, team store.Team) error {
	may := w.Held.Can(access.NameAny) || leads(&w.Look, team)
	r.ObserverID = w.Actor.Person
	self, err := w.Tx.PersonByID(w.Scope.Society, w.Actor.Person)
	if err != nil {
		return err
	}
	if !may && !team.ID.IsZero() {
		on, err := walks(&w.Look, team)
		if err == nil && !on {
			err = fault.Wrong("team", "seen.not-your-team", "team", team.Number)
		}
		if err != nil {
			return err
		}
	}
	if name = tidy(name); name == "" || taxon.Fold(name) == taxon.Fold(self.Name) {
		return nil
	}
	if !may {
		return w.May(access.NameAny)
	}
	r.ObserverID, err = w.PersonNamed(name)
	return err
}

// leads reports whether the actor runs a team: its leader, or the organiser.
func leads(l *hall.Look, t store.Team) bool {
	own := l.Actor.SignedIn() && t.LeaderID == l.Actor.Person
	return l.Held.Can(access.RunOwnTeam) && (own || l.Held.Can(access.SetUp))
}

// walks reports whether the actor is on a team's sheet.
func walks(l *hall.Look, t store.Team) (bool, error) {
	members, err := l.Tx.TeamMembers(l.Scope.Society, l.Scope.Event, t.ID)
	return slices.ContainsFunc(members, func(m store.TeamMember) bool { return m.PersonID == l.Actor.Person && m.RemovedAt.IsZero() }), err
}

// Same is a record that is there already, for whoever may rather count.
type Same struct {
	Record foray.ID `json:"record"`
	Name   string   `json:"name"`
	Count  int      `json:"count"`
}

// unseen is a Conflict where the taxon was recorded from the site, in a record that the actor may add to. Names that
// are not known are the same where they were written the same.
func unseen(w *hall.Write, r store.FieldRecord) error {
	all, err := w.SeenThere()
	if err != nil {
		return err
	}
	reach := reacher{Look: &w.Look}
	for _, have := range slices.Backward(all) {
		if have.Struck != nil || have.SiteID != r.SiteID || have.Outside != r.Outside || !sameName(w.Hall, have.SlipName(), seen(r).SlipName()) {
			continue
		}
		may, err := reach.tallies(have.FieldRecord)
		if err != nil {
			return err
		}
		if may {
			e := fault.New(fault.Conflict, "seen.same", "name", hall.Written(have.SlipName()), "n", have.Count)
			e.Other = Same{Record: have.ID, Name: hall.Written(have.SlipName()), Count: have.Count}
			return e
		}
	}
	return nil
}

func sameName(h *hall.Hall, a, b foray.SlipName) bool {
	sense := func(n foray.SlipName) string {
		if current := h.Current(n); current != nil {
			return current.Key
		}
		return cmp.Or(n.Key, taxon.Fold(n.Verbatim))
	}
	return sense(a) == sense(b) && a.Qualifier == b.Qualifier
}

func keep(w *hall.Write, r *store.FieldRecord, id foray.ID) (err error) {
	if r.ID = id; !id.IsZero() {
		if _, err := w.Tx.LockFieldRecord(w.Scope.Society, w.Scope.Event, id); !fault.Is(err, fault.NotFound) {
			return cmp.Or(err, error(fault.New(fault.Refused, "seen.id-taken")))
		}
		return w.Tx.AddFieldRecord(*r)
	}
	if r.ID, err = w.NewID(); err != nil {
		return err
	}
	return w.Tx.AddFieldRecord(*r)
}

func tidy(s string) string { return strings.Join(strings.Fields(s), " ") }
