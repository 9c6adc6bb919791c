package api

import (
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/hall/bench"
)

// Detail is one collection with everything said of it.
type Detail struct {
	Collection
	Team        *Team       `json:"team,omitempty"`
	Site        *Site       `json:"site,omitempty"`
	Collector   *Person     `json:"collector,omitempty"`
	LoggedBy    *Person     `json:"logged_by,omitempty"`
	PickedAt    time.Time   `json:"picked_at,omitzero"`
	PickedText  string      `json:"picked_text,omitempty"`
	PickedFrom  string      `json:"picked_from,omitempty"`
	PickedTo    string      `json:"picked_to,omitempty"`
	Substrate   string      `json:"substrate,omitempty"`
	Host        string      `json:"host,omitempty"`
	Habitat     string      `json:"habitat,omitempty"`
	Growth      string      `json:"growth,omitempty"`
	Plate       string      `json:"plate,omitempty"`
	KeptCool    bool        `json:"kept_cool"`
	Fruitbodies *int        `json:"fruitbodies,omitempty"`
	WeightG     *float64    `json:"weight_g,omitempty"`
	Outside     bool        `json:"outside"`
	Cultivated  bool        `json:"cultivated"`
	Remarks     string      `json:"remarks,omitempty"`
	Slips       []Slip      `json:"slips"` // by version
	Characters  []Character `json:"characters"`
	Placements  []Placement `json:"placements"` // oldest first
	Findings    []Finding   `json:"findings"`
	LookFor     []LookFor   `json:"look_for"`    // signs of what is deadly, to be answered with a sign-off of one of its names
	Determiners []Person    `json:"determiners"` // whom the caller may write for
}

// LookFor is a deadly fungus that the names in question may be or are mistaken for, with its signs.
type LookFor struct {
	Name     string `json:"name"`
	Severity int    `json:"severity"`
	Double   bool   `json:"double"` // it is what a name in question is mistaken for
	Signs    []Sign `json:"signs"`
}

// Sign is a sign to look for; its id goes into the sign-off's "looked" with the answer.
type Sign struct {
	ID       string `json:"id"`
	Words    string `json:"words"`
	HiddenBy string `json:"hidden_by,omitempty"`
}

// Person is somebody of the society.
type Person struct {
	ID   foray.ID `json:"id"`
	Name string   `json:"name"`
}

// Team is a team as known on the wall.
type Team struct {
	ID     foray.ID `json:"id"`
	Number int      `json:"number"`
	Name   string   `json:"name,omitempty"`
}

// Site is a site by its name. Points leave the hall in archives only, where they are public ones.
type Site struct {
	ID   foray.ID `json:"id"`
	Code string   `json:"code"`
	Name string   `json:"name"`
}

// Slip is one word on a collection.
type Slip struct {
	ID         foray.ID       `json:"id"`
	Version    int            `json:"version"` // the collection's once it was added
	Kind       foray.SlipKind `json:"kind"`
	Determiner *Person        `json:"determiner,omitempty"`
	Writer     *Person        `json:"writer,omitempty"`
	Basis      string         `json:"basis,omitempty"`
	Names      []Name         `json:"names"`
	Looked     []foray.Look   `json:"looked,omitempty"` // for what was looked before it was signed
	Remarks    string         `json:"remarks,omitempty"`
	Strikes    foray.ID       `json:"strikes,omitzero"`
	Struck     bool           `json:"struck"`
	HappenedAt time.Time      `json:"happened_at"`
	RecordedAt time.Time      `json:"recorded_at"`
}

// Character is a fleeting character as said.
type Character struct {
	Character  string    `json:"character"`
	Words      string    `json:"words"`
	Seconds    *int      `json:"seconds,omitempty"`
	NotedBy    *Person   `json:"noted_by,omitempty"`
	HappenedAt time.Time `json:"happened_at"`
}

// Placement is one row of a plate's history of places.
type Placement struct {
	Where      foray.Whereabouts `json:"where"`
	Table      foray.ID          `json:"table,omitzero"`
	Position   string            `json:"position,omitempty"`
	With       string            `json:"with,omitempty"`
	PlacedBy   *Person           `json:"placed_by,omitempty"`
	HappenedAt time.Time         `json:"happened_at"`
}

func seeCollection(r *request) (Detail, error) {
	n, err := foray.ParseNumber(r.echo.Param("number"), r.at.Event.Code)
	if err != nil {
		return Detail{}, err
	}
	s, err := bench.SeeCollection(r.ctx, r.hall(), r.actor, r.scope(), n)
	if err != nil {
		return Detail{}, err
	}
	d := fieldOf(s)
	d.Collection = r.collection(bench.Waiting{Plate: s.Plate, Assessment: s.Assessment, SpoilsAt: s.SpoilsAt})
	d.Slips, d.Characters, d.Placements, d.Findings = r.slips(s), characters(s), placements(s), assessed(s.Assessment)
	d.LookFor = r.lookFor(s)
	d.Determiners = []Person{}
	for _, p := range s.Determiners {
		d.Determiners = append(d.Determiners, Person{ID: p.ID, Name: p.Name})
	}
	return d, nil
}

func (r *request) lookFor(s bench.Sight) []LookFor {
	out := []LookFor{}
	for _, one := range bench.Suspects(r.hall(), s.Event, s.Plate, bench.InQuestion(s.Plate)...) {
		l := LookFor{Name: one.Name, Severity: one.Severity, Double: one.Double, Signs: make([]Sign, len(one.Signs))}
		for i, sign := range one.Signs {
			l.Signs[i] = Sign{ID: sign.ID(), Words: sign.Text, HiddenBy: sign.HiddenBy}
		}
		out = append(out, l)
	}
	return out
}

func fieldOf(s bench.Sight) Detail {
	p := s.Plate
	d := Detail{Collector: person(s, p.CollectorID), LoggedBy: person(s, p.LoggedBy), PickedAt: p.PickedAt.Time, PickedText: p.PickedText,
		PickedFrom: p.PickedFrom, PickedTo: p.PickedTo, Substrate: p.Substrate, Host: p.Host, Habitat: p.Habitat, Growth: p.Growth,
		Plate: p.Collection.Plate, KeptCool: p.KeptCool, Fruitbodies: p.Fruitbodies, WeightG: p.WeightG, Outside: p.Outside,
		Cultivated: p.Cultivated, Remarks: p.Remarks}
	for _, t := range s.Teams {
		if t.ID == p.TeamID {
			d.Team = &Team{ID: t.ID, Number: t.Number, Name: t.Name}
		}
	}
	for _, site := range s.Sites {
		if site.ID == p.SiteID {
			d.Site = &Site{ID: site.ID, Code: site.Code, Name: site.Name}
		}
	}
	return d
}

// person is nil for nobody, as for a collector who is not known.
func person(s bench.Sight, id foray.ID) *Person {
	p, ok := s.People[id]
	if !ok {
		return nil
	}
	return &Person{ID: p.ID, Name: p.Name}
}

func (r *request) slips(s bench.Sight) []Slip {
	out := make([]Slip, 0, len(s.Plate.Slips))
	for _, slip := range s.Plate.Slips {
		_, struck := s.Plate.Standing.Struck[slip.ID]
		names := make([]Name, 0, len(slip.Names))
		for _, n := range slip.Names {
			names = append(names, r.name(n))
		}
		out = append(out, Slip{ID: slip.ID, Version: slip.Seq, Kind: slip.Kind, Determiner: person(s, slip.Determiner),
			Writer: person(s, slip.Writer), Basis: string(slip.Basis), Names: names, Looked: slip.Looked, Remarks: slip.Remarks, Strikes: slip.Strikes,
			Struck: struck, HappenedAt: slip.HappenedAt, RecordedAt: slip.RecordedAt})
	}
	return out
}

func characters(s bench.Sight) []Character {
	out := make([]Character, 0, len(s.Notes))
	for _, n := range s.Notes {
		out = append(out, Character{Character: n.Character, Words: n.Words, Seconds: n.Seconds, NotedBy: person(s, n.NotedBy),
			HappenedAt: n.HappenedAt.Time})
	}
	return out
}

func placements(s bench.Sight) []Placement {
	out := make([]Placement, 0, len(s.Placements))
	for _, p := range s.Placements {
		out = append(out, Placement{Where: p.Whereabouts, Table: p.TableID, Position: p.Position, With: p.WithWhom,
			PlacedBy: person(s, p.PlacedBy), HappenedAt: p.HappenedAt.Time})
	}
	return out
}
