package hall

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"forayhall/internal/foray"
	"forayhall/internal/hazard"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// CardText is everything that a card beside a plate says. Two cards with the same text are the same card.
type CardText struct {
	Number     string       `json:"number"`
	Names      []string     `json:"names"`             // in question, as determined; the first is printed large
	Authors    []string     `json:"authors,omitempty"` // of those names, in their order
	Current    string       `json:"current,omitempty"` // today's name of the first, where it is another
	Common     string       `json:"common,omitempty"`
	Family     string       `json:"family,omitempty"`
	Group      string       `json:"group"`
	State      string       `json:"state"`
	Severity   int          `json:"severity"`
	NoEntry    bool         `json:"no_entry,omitempty"`
	Syndrome   string       `json:"syndrome,omitempty"`
	Doubles    []CardDouble `json:"doubles,omitempty"`
	Signs      []string     `json:"signs,omitempty"`      // what tells the dangerous one that the first name is
	Notice     string       `json:"notice,omitempty"`     // what tells it from its most dangerous double
	Looked     []foray.Look `json:"looked,omitempty"`     // for what was looked at the sign-off that stands
	Determiner string       `json:"determiner,omitempty"` // as they wish to appear
	Collector  string       `json:"collector,omitempty"`
	Place      string       `json:"place,omitempty"`
	Host       string       `json:"host,omitempty"`
	Substrate  string       `json:"substrate,omitempty"`
}

// CardDouble is a poisonous double of the plate's name and the table it stands on, where it does.
type CardDouble struct {
	Name     string `json:"name"`
	Table    string `json:"table,omitempty"`
	Severity int    `json:"severity"`
}

// CardWriter writes what cards say now, from one look at the event.
type CardWriter struct {
	look   *Look
	event  store.Event
	common func(*taxon.Name) string
	people map[foray.ID]store.Person
	places Places
	tables map[foray.ID]string
	stands map[string]string // key of a current name → the first table where one stands
}

// NewCardWriter reads what cards need beside their plates.
func (l *Look) NewCardWriter(plates []Plate) (*CardWriter, error) {
	c := &CardWriter{look: l, stands: map[string]string{}}
	var err error
	if c.event, err = l.Event(); err != nil {
		return nil, err
	}
	society, err := l.Tx.SocietyByID(l.Scope.Society)
	if err != nil {
		return nil, err
	}
	c.common = l.Hall.CommonNamer(society)
	if c.people, err = l.PeopleNames(); err != nil {
		return nil, err
	}
	if c.places, err = l.Places(); err != nil {
		return nil, err
	}
	if c.tables, err = l.TableNames(); err != nil {
		return nil, err
	}
	for _, p := range plates {
		if p.Whereabouts != foray.OnTable {
			continue
		}
		for _, asked := range p.Standing.Question {
			if n := l.Hall.Current(asked.SlipName); n != nil && c.stands[n.Key] == "" {
				c.stands[n.Key] = c.tables[p.TableID]
			}
		}
	}
	return c, nil
}

// Write is what a plate's card says now.
func (c *CardWriter) Write(p Plate) CardText {
	place := c.places.OfPlate(&p)
	t := CardText{Number: p.Number().String(), Group: p.FormGroup, State: p.StateWord(), Collector: CreditedName(c.people[p.CollectorID]),
		Place: place.Name(), Host: HostAt(place, p.Host), Substrate: WordAlone(place, p.Substrate, foray.Substrates), Names: []string{}}
	for _, asked := range p.Standing.Question {
		t.Names, t.Authors = append(t.Names, Written(asked.SlipName)), append(t.Authors, asked.Author)
	}
	if len(p.Standing.Question) > 0 {
		c.name(&t, p.Standing.Question[0].SlipName)
	}
	if signed, ok := p.Standing.Current(); ok {
		t.Determiner, t.Looked = CreditedName(c.people[signed.Determiner]), signed.Looked
	}
	worst := c.look.Hall.Knowledge.Hazards.Worst(p.Questions(), c.event.Region)
	t.Severity, t.NoEntry = worst.Severity, worst.NoEntry && worst.Weight == hazard.NoEntryWeight
	if worst.Severity > 0 && len(worst.Findings) > 0 && worst.Findings[0].Syndrome != nil {
		t.Syndrome = worst.Findings[0].Syndrome.Name
	}
	c.notice(&t, p)
	c.doubles(&t, p)
	return t
}

func (c *CardWriter) name(t *CardText, first foray.SlipName) {
	current := c.look.Hall.Current(first)
	if current == nil {
		return
	}
	t.Family = current.Family
	if current.Key != first.Key {
		t.Current = current.Name
	}
	t.Common = c.common(current)
}

// mostSigns is how many signs a card has room for.
const mostSigns = 3

// notice is what to look at: the signs of the dangerous fungus that the first name is, else what tells it from its most
// dangerous double.
func (c *CardWriter) notice(t *CardText, p Plate) {
	if len(p.Standing.Question) == 0 {
		return
	}
	written, known := Written(p.Standing.Question[0].SlipName), c.look.Hall.Knowledge.Hazards
	for _, s := range known.Suspects(written, nil, c.event.Region) {
		if !s.Double && len(t.Signs) == 0 {
			for _, sign := range s.Signs[:min(mostSigns, len(s.Signs))] {
				t.Signs = append(t.Signs, sign.Text)
			}
		}
	}
	for _, d := range known.DoublesIn(written, c.event.Region) {
		if len(t.Signs) == 0 && t.Notice == "" && d.Severity >= hazard.Dangerous {
			t.Notice = d.Differences
		}
	}
}

// mostDoubles is how many doubles a card names; the warning sheet has them all.
const mostDoubles = 4

// doubles lists the poisonous doubles of what people look for: those that stand in the hall first, then the most dangerous.
func (c *CardWriter) doubles(t *CardText, p Plate) {
	seen := map[string]bool{}
	for _, asked := range p.Standing.Question {
		near := map[string]bool{}
		for _, d := range c.look.Hall.Knowledge.Hazards.DoublesIn(Written(asked.SlipName), c.event.Region) {
			near[d.ID] = true
		}
		for _, d := range c.look.Hall.Knowledge.Hazards.Doubles(Written(asked.SlipName)) {
			stands := c.standsOn(d.Other)
			if d.Role == hazard.Gathered && !seen[d.Other] && (near[d.ID] || stands != "") { // a mistake of elsewhere can happen where both stand
				seen[d.Other] = true
				t.Doubles = append(t.Doubles, CardDouble{Name: d.Other, Severity: d.Severity, Table: stands})
			}
		}
	}
	slices.SortStableFunc(t.Doubles, func(a, b CardDouble) int {
		if (a.Table == "") != (b.Table == "") {
			return strings.Compare(b.Table, a.Table)
		}
		return b.Severity - a.Severity
	})
	t.Doubles = t.Doubles[:min(len(t.Doubles), mostDoubles)]
}

// standsOn is the table on which what a name means today stands; empty where it does not.
func (c *CardWriter) standsOn(name string) string {
	if m := c.look.Hall.Knowledge.Names.Match(name); m.Found != nil {
		return c.stands[m.Found.Current().Key]
	}
	return ""
}

// Differs lists in what two cards differ, for whoever swaps one for the other: names, state, hazard, doubles, signs, field.
func (t CardText) Differs(other CardText) []string {
	var parts []string
	add := func(part string, a, b any) {
		if !reflect.DeepEqual(a, b) && !slices.Contains(parts, part) {
			parts = append(parts, part)
		}
	}
	add("names", t.Names, other.Names)
	add("names", []string{t.Current, t.Common, t.Family, t.Group}, []string{other.Current, other.Common, other.Family, other.Group})
	add("state", t.State, other.State)
	add("hazard", []any{t.Severity, t.NoEntry, t.Syndrome}, []any{other.Severity, other.NoEntry, other.Syndrome})
	add("doubles", t.Doubles, other.Doubles)
	add("signs", []any{t.Signs, t.Notice, t.Looked}, []any{other.Signs, other.Notice, other.Looked})
	add("field", []string{t.Determiner, t.Collector, t.Place, t.Host, t.Substrate}, []string{other.Determiner, other.Collector, other.Place, other.Host, other.Substrate})
	if len(parts) == 0 && !reflect.DeepEqual(t, other) {
		parts = append(parts, "field") // authors
	}
	return parts
}

// Said is the card in one form, so that two can be compared.
func (t CardText) Said() (string, error) {
	said, err := json.Marshal(t)
	return string(said), err
}

// ReadCard reads what a registered card says.
func ReadCard(said string) (CardText, error) {
	var t CardText
	if err := json.Unmarshal([]byte(said), &t); err != nil {
		return t, fmt.Errorf("read a card: %w", err)
	}
	return t, nil
}

// SheetText is what of a warning sheet makes a hung one wrong: what is here or may be here and where, what is named
// too widely, the doubles of what people look for, the names that nobody has an entry for, and whom to call. That another basket came in unnamed does not.
type SheetText struct {
	Here    []string `json:"here"`
	Wide    []string `json:"wide"`
	Doubles []string `json:"doubles"`
	NoEntry []string `json:"no_entry"`
	Contact string   `json:"contact"`
	Final   bool     `json:"final"`
}

// TextOfSheet is what a sheet made now would say.
func TextOfSheet(s hazard.Sheet) SheetText {
	t := SheetText{Here: []string{}, Wide: []string{}, Doubles: []string{}, NoEntry: []string{}, Contact: strings.TrimSpace(s.Contact.Name + " " + s.Contact.Phone), Final: s.Final}
	for _, line := range s.Here {
		t.Here = append(t.Here, line.Taxon+" · "+line.Finding.Syndrome.Key+" · "+where(line.Plates))
	}
	for _, line := range s.Wide {
		t.Wide = append(t.Wide, line.Name+" · "+line.Worst.Syndrome.Key+" · "+where(line.Plates))
	}
	for _, line := range s.Doubles {
		t.Doubles = append(t.Doubles, line.Matched+" · "+line.Other)
	}
	for _, plate := range s.NoEntry {
		t.NoEntry = append(t.NoEntry, strings.Join(plate.Names, " / "))
	}
	for _, lines := range []*[]string{&t.Here, &t.Wide, &t.Doubles, &t.NoEntry} {
		slices.Sort(*lines)
		*lines = slices.Compact(*lines)
	}
	return t
}

// where lists the tables of plates, each once.
func where(plates []hazard.Standing) string {
	var tables []string
	for _, p := range plates {
		if !slices.Contains(tables, p.Table) {
			tables = append(tables, p.Table)
		}
	}
	return strings.Join(tables, ", ")
}

// Said is the sheet in one form, so that two can be compared.
func (t SheetText) Said() (string, error) {
	said, err := json.Marshal(t)
	return string(said), err
}

// Digest is short enough to be carried by a form and long enough that no two papers share it.
func Digest(said string) string {
	sum := sha256.Sum256([]byte(said))
	return hex.EncodeToString(sum[:12])
}
