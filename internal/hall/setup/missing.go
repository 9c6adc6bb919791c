package setup

import (
	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// Part is a part of the set-up, by which pages know where something is mended.
type Part string

const (
	PartEvent   Part = "event"
	PartSites   Part = "sites"
	PartWalks   Part = "walks"
	PartTeams   Part = "teams"
	PartTables  Part = "tables"
	PartNumbers Part = "numbers"
	PartRights  Part = "rights"
	PartStocks  Part = "stocks"
	PartFlags   Part = "flags"
	PartContact Part = "contact"

	PartPublisher Part = "publisher"
	PartEarlier   Part = "earlier"
	PartRain      Part = "rain"
)

// Parts lists the parts in the order in which an event is set up.
var Parts = []Part{PartEvent, PartSites, PartWalks, PartTeams, PartTables, PartNumbers, PartStocks, PartRights, PartFlags, PartContact, PartPublisher, PartEarlier, PartRain}

// Lack is something that an event is not ready without.
type Lack struct {
	Text message.Text
	Part Part
	Row  foray.ID // the site, walk, team or table that lacks it; zero: none of them
}

// Missing is what is still to be done before people can be let out and plates be laid. Once the event is closed it is only
// that personal data is about to go.
func (room Room) Missing() []Lack {
	var m lacks
	m.personal(room)
	if room.Event.State == hall.EventClosed {
		return m
	}
	m.event(room)
	m.sites(room)
	m.walks(room)
	m.teams(room)
	m.tables(room)
	m.staff(room)
	return m
}

type lacks []Lack

func (m *lacks) add(when bool, part Part, row foray.ID, key string, pairs ...any) {
	if when {
		*m = append(*m, Lack{Text: message.T("setup.lacks."+key, pairs...), Part: part, Row: row})
	}
}

func (m *lacks) event(room Room) {
	e := room.Event
	m.add(e.EndsOn < room.Today, PartEvent, foray.ID{}, "past", "day", e.EndsOn)
	m.add(e.Jurisdiction == "" && len(room.Flags) > 0, PartEvent, foray.ID{}, "jurisdiction")
	m.add(e.DeletePersonalOn == "", PartEvent, foray.ID{}, "delete-personal")
}

// personal tells a fortnight before what goes, also once the event is closed.
func (m *lacks) personal(room Room) {
	p := room.Personal
	m.add(p.Soon && p.Total() > 0, PartEvent, foray.ID{}, "personal-soon", "day", p.On, "n", p.Total())
}

func (m *lacks) sites(room Room) {
	m.add(len(room.Sites) == 0, PartSites, foray.ID{}, "sites")
}

func (m *lacks) walks(room Room) {
	points := map[foray.ID]bool{}
	for _, s := range room.Sites {
		points[s.ID] = s.Latitude != nil && s.Longitude != nil
	}
	m.add(len(room.Walks) == 0, PartWalks, foray.ID{}, "walks")
	for _, w := range room.Walks {
		if !w.CalledOffAt.IsZero() {
			continue
		}
		m.add(w.SiteID.IsZero(), PartWalks, w.ID, "walk-site", "number", w.Number)
		m.add(!w.SiteID.IsZero() && !points[w.SiteID], PartSites, w.SiteID, "sunset", "number", w.Number)
		m.add(w.LeaderID.IsZero(), PartWalks, w.ID, "walk-leader", "number", w.Number)
		day := w.StartsAt.In(hall.Zone(room.Event)).Format("2006-01-02")
		m.add(day < room.Event.StartsOn || day > room.Event.EndsOn, PartWalks, w.ID, "walk-day", "number", w.Number, "day", day)
	}
}

func (m *lacks) teams(room Room) {
	m.add(len(room.Teams) == 0, PartTeams, foray.ID{}, "teams")
	numbered := map[foray.ID]bool{}
	for _, b := range room.Blocks {
		numbered[b.TeamID] = true
	}
	for _, t := range room.Teams {
		m.add(t.LeaderID.IsZero(), PartTeams, t.ID, "team-leader", "number", t.Number)
		m.add(room.Plans[t.ID].WalkID.IsZero() && room.Plans[t.ID].DueAt.IsZero(), PartTeams, t.ID, "team-walk", "number", t.Number)
		m.add(!numbered[t.ID], PartNumbers, t.ID, "team-block", "number", t.Number)
	}
}

func (m *lacks) tables(room Room) {
	m.add(len(room.Tables) == 0, PartTables, foray.ID{}, "tables")
	out := false
	for _, t := range room.Tables {
		out = out || t.Hazards
		m.add(t.FormGroups == "" && !t.Hazards, PartTables, t.ID, "table-groups", "number", t.Number)
	}
	m.add(len(room.Tables) > 0 && !out, PartTables, foray.ID{}, "table-hazards")
}

func (m *lacks) staff(room Room) {
	holds := map[access.Right]bool{}
	determiner := false
	for _, r := range room.Rights {
		holds[r.Held] = true
		determiner = determiner || access.Allows(r.Held, access.SignOff)
	}
	m.add(!determiner, PartRights, foray.ID{}, "determiner")
	m.add(!holds[access.SafetyLead], PartRights, foray.ID{}, "safety-lead")
	m.add(!holds[access.Desk], PartRights, foray.ID{}, "desk")
	m.add(!holds[access.ListKeeper], PartRights, foray.ID{}, "list-keeper")
	m.add(len(room.Contacts) == 0, PartContact, foray.ID{}, "contact")
	m.add(len(room.Contacts) > 0 && untested(room.Contacts), PartContact, foray.ID{}, "contact-test")
}

func untested(contacts []store.PoisonContact) bool { return contacts[0].TestedAt.IsZero() }
