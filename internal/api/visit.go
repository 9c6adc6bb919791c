package api

import (
	"strconv"
	"strings"
	"time"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/visit"
	"forayhall/internal/taxon"
)

// SocietyEvents is a society with its events.
type SocietyEvents struct {
	Society
	Events []ListedEvent `json:"events"`
}

// ShownPlace is where a plate is, as a visitor is told it.
type ShownPlace struct {
	Where    foray.Whereabouts `json:"where"`
	Table    int               `json:"table,omitempty"`
	Title    string            `json:"table_title,omitempty"`
	Position string            `json:"position,omitempty"`
}

// FoundAt is where something was found, as the public may know it.
type FoundAt struct {
	Name     string `json:"name,omitempty"`
	KeptBack bool   `json:"kept_back"` // there is a place, and the public is not told which
}

// ShownPlate is one collection as anybody may see it.
type ShownPlate struct {
	Plate
	Place       ShownPlace `json:"place"`
	FoundAt     FoundAt    `json:"found_at"`
	Determiners []string   `json:"determiners"` // of the determinations that stand, as they chose to be named
	Outside     bool       `json:"outside"`
	Cultivated  bool       `json:"cultivated"`
	Flags       []string   `json:"flags"` // protected, controlled
}

// Stand is a plate on a table.
type Stand struct {
	Number string `json:"number"`
	Table  int    `json:"table"`
	Title  string `json:"table_title,omitempty"`
}

// Mistake is a double with where the other of the two stands on the tables.
type Mistake struct {
	Double
	Role   string  `json:"role"` // of what is shown: gathered or poisonous
	Stands []Stand `json:"stands"`
}

// OneTable is one table, plate by plate.
type OneTable struct {
	ChangeSeq int64        `json:"change_seq"`
	Number    int          `json:"number"`
	Title     string       `json:"title,omitempty"`
	Hazards   bool         `json:"hazards"` // out of a child's reach
	Plates    []TablePlate `json:"plates"`
	Caution   string       `json:"caution"`
}

// TablePlate is a plate with those of its doubles that stand on a table.
type TablePlate struct {
	ShownPlate
	Doubles []Mistake `json:"doubles"`
}

// Determination is one slip with what anybody may read of it.
type Determination struct {
	Kind       foray.SlipKind `json:"kind"`
	Did        string         `json:"did"` // the kind, or what a sign-off did: dissent, settles
	Names      []Name         `json:"names"`
	Determiner string         `json:"determiner,omitempty"` // as they chose to be named
	Basis      string         `json:"basis,omitempty"`
	At         time.Time      `json:"at"`
	Struck     bool           `json:"struck"`
	Unsettled  bool           `json:"unsettled"`
}

// FoundNumber is one number as anybody may look it up: a collection, or what became of it.
type FoundNumber struct {
	ChangeSeq      int64           `json:"change_seq"`
	Number         string          `json:"number"`
	Fate           string          `json:"fate"`            // live, split, merged, spoilt, lost, found, unused
	Parts          []string        `json:"parts"`           // of a split
	Into           string          `json:"into,omitempty"`  // of a merge
	Shown          *ShownPlate     `json:"shown,omitempty"` // missing where the number has no collection
	CollectedBy    string          `json:"collected_by,omitempty"`
	PickedOn       string          `json:"picked_on,omitempty"`
	Determinations []Determination `json:"determinations"` // newest first
	Doubles        []Mistake       `json:"doubles"`
	Caution        string          `json:"caution"`
}

// TaxonHere is a name at one event.
type TaxonHere struct {
	ChangeSeq int64     `json:"change_seq"`
	Asked     string    `json:"asked"`
	Accepted  string    `json:"accepted,omitempty"` // missing where the classification does not know the name
	Author    string    `json:"author,omitempty"`
	Rank      string    `json:"rank,omitempty"`
	Family    string    `json:"family,omitempty"`
	Said      string    `json:"said,omitempty"` // one way to say the accepted name, the stressed part in capitals
	Disputed  string    `json:"disputed,omitempty"`
	Wider     []Wider   `json:"wider"` // the classification upward, the narrowest first
	Former    []string  `json:"former"`
	Formerly  []Former  `json:"formerly"` // the same with why and by whose word
	Common    []string  `json:"common"`
	Findings  []Finding `json:"findings"` // never empty: of no entry it is said that there is none
	Doubles   []Mistake `json:"doubles"`
	Finds     []Sighted `json:"finds"`
	Within    []Within  `json:"within"`
	Record    Record    `json:"record"`
	Glossary  []Word    `json:"glossary"` // words of the trade in the differences of the doubles
	Caution   string    `json:"caution"`
}

// Sighted is a collection with the name in question.
type Sighted struct {
	Number  string     `json:"number"`
	State   string     `json:"state"`
	Place   ShownPlace `json:"place"`
	FoundAt FoundAt    `json:"found_at"`
}

// Wider is a name that the classification puts another into.
type Wider struct {
	Rank string `json:"rank"`
	Name string `json:"name"`
}

// Former is a former name, with why it is one.
type Former struct {
	Name     string `json:"name"`
	Author   string `json:"author,omitempty"`
	Reason   string `json:"why,omitempty"` // moved, merged, split, misapplied, spelling, alternative
	Disputed string `json:"disputed,omitempty"`
	Source   string `json:"source"`
}

// Word is a word of the trade with what it means.
type Word struct {
	Word   string `json:"word"`
	Plain  string `json:"plain"`
	Source string `json:"source"`
}

// FindCount is finds: plates and field records.
type FindCount struct {
	Confirmed int `json:"confirmed"`
	Unsure    int `json:"unsure"` // disputed, unconfirmed, or written with a doubt
}

// Record is what all events of the society know of a taxon, under all of its names.
type Record struct {
	FindCount
	Years []YearCount `json:"by_year"` // newest first
	Sites []SiteCount `json:"by_site"`
	Hosts []HostCount `json:"by_host"`
	Names []NameUse   `json:"names_used"` // in determinations, by first use
}

// YearCount is the finds of a year; none where no year was said.
type YearCount struct {
	Year int `json:"year,omitempty"`
	FindCount
}

// SiteCount is the finds of a site.
type SiteCount struct {
	FoundAt
	FindCount
}

// HostCount is the finds on a host; none where no host was said.
type HostCount struct {
	Host string `json:"host,omitempty"`
	FindCount
}

// NameUse is a name under which plates were determined.
type NameUse struct {
	Name      string `json:"name"`
	Qualifier string `json:"qualifier,omitempty"`
	First     int    `json:"first_year"`
	Last      int    `json:"last_year"`
	Plates    int    `json:"plates"`
}

// Within is a name within another, with how many collections may bear it.
type Within struct {
	Name  string `json:"name"`
	Finds int    `json:"finds"`
}

func seeSociety(r *request) (SocietyEvents, error) {
	s, events, err := r.hall().SocietyEvents(r.ctx, r.echo.Param("society"))
	out := SocietyEvents{Society: Society{Code: s.Code, Name: s.Name}, Events: make([]ListedEvent, 0, len(events))}
	for _, e := range events {
		out.Events = append(out.Events, ListedEvent{event(hall.Address{Society: e.Society, Event: e.Event}), e.Version})
	}
	return out, err
}

func seeTable(r *request) (OneTable, error) {
	n, err := strconv.Atoi(r.echo.Param("number"))
	if err != nil {
		return OneTable{}, fault.Missing()
	}
	t, err := visit.SeeTable(r.ctx, r.hall(), r.actor, r.scope(), n)
	out := OneTable{ChangeSeq: t.Seq, Number: t.Number, Title: t.Title, Hazards: t.Hazards, Plates: []TablePlate{}, Caution: r.caution()}
	for _, p := range t.Plates {
		out.Plates = append(out.Plates, TablePlate{r.shown(p.Plate), mistakes(p.Doubles)})
	}
	return out, err
}

func (r *request) caution() string { return r.say().Say("hazard.caution") }

func (r *request) shown(p visit.Plate) ShownPlate {
	names := make([]Name, 0, len(p.Names))
	for _, n := range p.Names {
		names = append(names, r.name(n.SlipName))
	}
	return ShownPlate{Plate: Plate{Number: p.Number, Group: p.Group, State: p.State, Names: names, Severity: p.Assessment.Severity,
		NoEntry: p.Assessment.NoEntry, Findings: assessed(p.Assessment)},
		Place: shownPlace(p.Where), FoundAt: FoundAt(p.Site), Determiners: listed(p.Determiners), Outside: p.Outside, Cultivated: p.Cultivated, Flags: listed(p.Flags)}
}

// listed is a list that is never null.
func listed(all []string) []string { return append([]string{}, all...) }

func shownPlace(w visit.Where) ShownPlace {
	return ShownPlace{Where: w.Place, Table: w.Table, Title: w.Title, Position: w.Position}
}

func mistakes(all []visit.Double) []Mistake {
	out := make([]Mistake, 0, len(all))
	for _, d := range all {
		m := Mistake{Double: double(d.Double), Role: string(d.Role), Stands: make([]Stand, 0, len(d.Stands))}
		for _, s := range d.Stands {
			m.Stands = append(m.Stands, Stand(s))
		}
		out = append(out, m)
	}
	return out
}

func seeFind(r *request) (FoundNumber, error) {
	n, err := foray.ParseNumber(r.echo.Param("number"), r.at.Event.Code)
	if err != nil {
		return FoundNumber{}, err
	}
	f, err := visit.SeeFind(r.ctx, r.hall(), r.actor, r.scope(), n)
	out := FoundNumber{ChangeSeq: f.Seq, Number: n.String(), Fate: f.Fate, Parts: listed(f.Parts), Into: f.Into, CollectedBy: f.Collector,
		PickedOn: f.PickedOn, Determinations: []Determination{}, Doubles: mistakes(f.Doubles), Caution: r.caution()}
	if f.There {
		shown := r.shown(f.Plate)
		out.Shown = &shown
	}
	for _, s := range f.Slips {
		d := Determination{Kind: s.Kind, Did: s.Did, Names: []Name{}, Determiner: s.Determiner, Basis: string(s.Basis), At: s.At, Struck: s.Struck, Unsettled: s.Unsettled}
		for _, n := range s.Names {
			d.Names = append(d.Names, r.name(n.SlipName))
		}
		out.Determinations = append(out.Determinations, d)
	}
	return out, err
}

func seeTaxon(r *request) (TaxonHere, error) {
	t, err := visit.SeeTaxon(r.ctx, r.hall(), r.actor, r.scope(), strings.ReplaceAll(r.echo.Param("name"), "_", " "))
	out := TaxonHere{ChangeSeq: t.Seq, Asked: t.Asked, Former: named(t.Former), Common: []string{}, Findings: []Finding{}, Doubles: mistakes(t.Doubles),
		Finds: []Sighted{}, Within: []Within{}, Caution: r.caution(), Said: t.Said, Wider: []Wider{}, Formerly: []Former{}, Record: recorded(t.Record), Glossary: []Word{}}
	for _, w := range t.Wider() {
		out.Wider = append(out.Wider, Wider{string(w.Rank), w.Name})
	}
	for _, f := range t.Former {
		out.Formerly = append(out.Formerly, Former{f.Name, f.Author, f.Reason, f.Disputed, f.Source})
	}
	for _, w := range t.Words {
		out.Glossary = append(out.Glossary, Word{w.Word, w.Plain, w.Source})
	}
	if n := t.Name; n != nil {
		out.Disputed = n.Disputed
		out.Accepted, out.Author, out.Rank, out.Family = n.Name, n.Author, string(n.Rank), n.Family
		for _, c := range n.Common {
			out.Common = append(out.Common, c.Name)
		}
	}
	for _, f := range t.Findings {
		out.Findings = append(out.Findings, finding(f))
	}
	for _, s := range t.Sites {
		for _, st := range s.States {
			for _, p := range st.Plates {
				out.Finds = append(out.Finds, Sighted{p.Number, st.State, shownPlace(p.Where), FoundAt(s.Site)})
			}
		}
	}
	for _, w := range t.Within {
		out.Within = append(out.Within, Within{w.Name.Name, w.Finds})
	}
	return out, err
}

func recorded(of visit.Record) Record {
	out := Record{FindCount: FindCount(of.Finds), Years: []YearCount{}, Sites: []SiteCount{}, Hosts: []HostCount{}, Names: []NameUse{}}
	for _, y := range of.Years {
		out.Years = append(out.Years, YearCount{y.Year, FindCount(y.Count)})
	}
	for _, s := range of.Sites {
		out.Sites = append(out.Sites, SiteCount{FoundAt(s.Site), FindCount(s.Count)})
	}
	for _, h := range of.Hosts {
		out.Hosts = append(out.Hosts, HostCount{h.Host, FindCount(h.Count)})
	}
	for _, n := range of.Names {
		out.Names = append(out.Names, NameUse{n.Name, n.Qualifier, n.First, n.Last, n.Plates})
	}
	return out
}

func named(names []*taxon.Name) []string {
	out := make([]string, 0, len(names))
	for _, n := range names {
		out = append(out, n.Name)
	}
	return out
}
