package demo

import (
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/hall/setup"
)

// scenario is the tables of seed/demo as read.
type scenario struct {
	people []person
	events []event
}

// person is somebody of the society.
type person struct {
	key    string
	name   string
	credit string
	login  string // empty: no account
	role   string // in words; empty: not among the sign-ins that are printed
	rights map[string][]access.Right
}

// event is one foray with everything that happens at it.
type event struct {
	set     setup.Event
	sites   []setup.Site
	walks   []walk
	teams   []setup.Team
	tables  []setup.Table
	contact contact
	signed  signing
	moments []moment // in the order in which they happen
	zone    *time.Location

	requests []request // for corrections, after the list was signed
	earlier  []earlierList
}

// contact is whom to call, with who typed it in and rang.
type contact struct {
	name, phone   string
	by            string
	typed, tested time.Time
}

// signing is the publication of the list; a zero at is none yet.
type signing struct {
	by      string
	at      time.Time
	remarks string
}

func readScenario() (scenario, error) {
	var s scenario
	var err error
	if s.people, err = readPeople(); err != nil {
		return s, err
	}
	names := map[string]string{}
	for _, p := range s.people {
		names[p.key] = p.name
	}
	if s.events, err = readEvents(names); err != nil {
		return s, err
	}
	for i := range s.events {
		if err := s.events[i].readMoments(); err != nil {
			return s, err
		}
		if err := s.events[i].readRequests(); err != nil {
			return s, err
		}
		if err := s.events[i].readEarlier(); err != nil {
			return s, err
		}
	}
	return s, nil
}

func (s scenario) signs() Signs {
	var signs Signs
	for _, p := range s.people {
		if p.role != "" {
			signs = append(signs, Sign{Login: p.login, Password: password, Role: p.role, Name: p.name})
		}
	}
	return signs
}

func readPeople() (people []person, err error) {
	err = eachRow("people", []string{"key", "name", "credit", "login", "role", "hb25", "hb26"}, func(r *row) {
		people = append(people, person{key: r.text("key"), name: r.text("name"), credit: r.text("credit"), login: r.text("login"),
			role: r.text("role"), rights: map[string][]access.Right{"HB25": r.rights("hb25"), "HB26": r.rights("hb26")}})
	})
	return people, err
}

func (r *row) rights(column string) (rights []access.Right) {
	for word := range strings.SplitSeq(r.text(column), ";") {
		if word != "" {
			rights = append(rights, access.Right(word))
		}
	}
	return rights
}

func readEvents(names map[string]string) (events []event, err error) {
	err = eachRow("events", []string{"code", "name", "place", "starts_on", "ends_on", "time_zone", "region", "contact", "phone",
		"contact_by", "typed", "tested", "signed_by", "signed", "remarks"}, func(r *row) {
		zone := r.zone("time_zone")
		events = append(events, event{zone: zone,
			set: setup.Event{Code: r.text("code"), Name: r.text("name"), Place: r.text("place"), StartsOn: r.text("starts_on"),
				EndsOn: r.text("ends_on"), TimeZone: r.text("time_zone"), Region: r.text("region")},
			contact: contact{name: r.text("contact"), phone: r.text("phone"), by: r.text("contact_by"), typed: r.at("typed", zone), tested: r.at("tested", zone)},
			signed:  signing{by: r.text("signed_by"), at: r.at("signed", zone), remarks: r.text("remarks")}})
	})
	if err != nil {
		return nil, err
	}
	sites, err := readSites()
	if err != nil {
		return nil, err
	}
	for i := range events {
		events[i].sites = sites // the same walks every year
		if err := events[i].readGround(names); err != nil {
			return nil, err
		}
	}
	return events, nil
}

func readSites() (sites []setup.Site, err error) {
	err = eachRow("sites", []string{"code", "name", "latitude", "longitude", "uncertainty_m", "grid_m", "sensitive", "permitted",
		"count_needed", "directions", "permit"}, func(r *row) {
		sites = append(sites, setup.Site{Code: r.text("code"), Name: r.text("name"), Latitude: r.real("latitude"), Longitude: r.real("longitude"),
			UncertaintyM: r.whole("uncertainty_m"), GridM: r.whole("grid_m"), Sensitive: r.yes("sensitive"), Permitted: r.yes("permitted"), CountNeeded: r.yes("count_needed"),
			Directions: r.text("directions"), Permit: r.text("permit")})
	})
	return sites, err
}

func (e *event) readGround(names map[string]string) error {
	if err := e.readWalks(); err != nil {
		return err
	}
	err := eachRow("teams", []string{"event", "number", "name", "leader", "site", "walk"}, func(r *row) {
		if r.text("event") == e.set.Code {
			e.teams = append(e.teams, setup.Team{Number: r.whole("number"), Name: r.text("name"), Leader: names[r.text("leader")], Site: r.text("site"), Walk: r.text("walk")})
		}
	})
	if err != nil {
		return err
	}
	return eachRow("tables", []string{"event", "number", "title", "hazards", "groups", "x", "y", "turned"}, func(r *row) {
		if r.text("event") == e.set.Code {
			e.tables = append(e.tables, setup.Table{Number: r.whole("number"), Title: r.text("title"), Hazards: r.yes("hazards"),
				Groups: r.words("groups"), PlanXMM: r.whole("x"), PlanYMM: r.whole("y"), Turned: r.yes("turned")})
		}
	})
}

func (e *event) readWalks() error {
	return eachRow("walks", []string{"event", "number", "title", "site", "leader", "starts", "due", "capacity", "remarks"}, func(r *row) {
		if r.text("event") == e.set.Code {
			e.walks = append(e.walks, walk{leader: r.text("leader"), Walk: setup.Walk{Number: r.whole("number"), Title: r.text("title"),
				Site: r.text("site"), StartsAt: r.at("starts", e.zone), DueAt: r.at("due", e.zone), Capacity: r.whole("capacity"), Remarks: r.text("remarks")}})
		}
	})
}

// named is the name of a person by key.
func (s scenario) named(key string) string {
	for _, p := range s.people {
		if p.key == key {
			return p.name
		}
	}
	return ""
}
