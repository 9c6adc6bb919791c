package booklet

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/printing"
	"forayhall/internal/tally"
	"forayhall/internal/taxon"
)

// frozen is a list as its canonical bytes say it. A field that a list was signed before is empty in it.
type frozen struct {
	Version      int            `json:"version"`
	SignedBy     string         `json:"signed_by"`
	SignedAt     time.Time      `json:"signed_at"`
	Remarks      string         `json:"remarks"`
	Rule         string         `json:"rule"`
	Total        int            `json:"distinct_taxa"`
	Totals       map[string]int `json:"distinct_taxa_by_group"`
	Finds        int            `json:"finds"`
	FieldRecords int            `json:"field_records"`
	Lines        []line         `json:"lines"`
}

type line struct {
	Name         string   `json:"name"`
	Written      string   `json:"written"`
	Author       string   `json:"author"`
	Rank         string   `json:"rank"`
	Qualifier    string   `json:"qualifier"`
	Position     string   `json:"qualifier_position"`
	Group        string   `json:"group"`
	Order        string   `json:"order"`
	Family       string   `json:"family"`
	Common       string   `json:"common_name"`
	DeterminedAs []string `json:"determined_as"`
	Apart        string   `json:"apart"`
	Counts       bool     `json:"counts"`
	Why          string   `json:"why"`
	Numbers      []string `json:"collections"`
	Places       []string `json:"sites"`
	Determiners  []string `json:"determiners"`
	FieldRecords []string `json:"field_records"`
	Seen         int      `json:"seen_in_the_field"`
	Vouchers     []string `json:"vouchers"`
	Photographs  int      `json:"photographs"`
	Firsts       []string `json:"first_records"`
	Severity     int      `json:"hazard_severity"`
}

func thaw(p hall.Publication) (f frozen, err error) {
	if err := json.Unmarshal(p.Canonical, &f); err != nil {
		return f, fmt.Errorf("read version %d: %w", p.Version, err)
	}
	return f, nil
}

func (f frozen) draft() bool { return f.Version == 0 }

// marked reports whether the list was signed with what is kept, photographed, new and dangerous among its lines.
func (f frozen) marked() bool {
	for _, l := range f.Lines {
		if l.Vouchers == nil {
			return false
		}
	}
	return true
}

// setting is the line's name to be set; a genus alone is "sp.", which has no author.
func (l line) setting() taxon.Setting {
	s := taxon.Setting{Name: l.Name, Author: l.Author, Rank: taxon.Rank(l.Rank), Qualifier: taxon.Qualifier(l.Qualifier), Position: taxon.Rank(l.Position)}
	if s.Rank == taxon.Genus && s.Qualifier == taxon.None {
		s.Qualifier = taxon.OnlyGenus
	}
	if s.Qualifier == taxon.OnlyGenus {
		s.Author = ""
	}
	return s
}

func (l line) printed() printing.Name { return printedName(l.setting()) }

func printedName(s taxon.Setting) printing.Name {
	var name printing.Name
	for _, run := range s.Runs() {
		name = append(name, printing.Run(run))
	}
	return name
}

// bare is the name as text, without its author.
func (l line) bare() string {
	s := l.setting()
	s.Author = ""
	return printedName(s).String()
}

// counted are the lines that are not apart.
func (f frozen) counted() (lines []line) {
	for _, l := range f.Lines {
		if l.Apart == string(tally.Counted) {
			lines = append(lines, l)
		}
	}
	return lines
}

func (f frozen) apart(why tally.Apart) (lines []line) {
	for _, l := range f.Lines {
		if l.Apart == string(why) {
			lines = append(lines, l)
		}
	}
	return lines
}

// names is what each collection stands under, by its number; of a dispute under the first.
func (f frozen) names() map[foray.Number]line {
	by := map[foray.Number]line{}
	for _, l := range f.Lines {
		for _, written := range l.Numbers {
			n, err := foray.ParseNumber(written, "")
			if _, known := by[n]; err == nil && !known {
				by[n] = l
			}
		}
	}
	return by
}

// rows are those of the list's CSV.
func rows(p hall.Publication) (header []string, rows [][]string, err error) {
	all, err := csv.NewReader(bytes.NewReader(p.CSV)).ReadAll()
	if err != nil || len(all) == 0 {
		return nil, nil, fmt.Errorf("read the table of version %d: %w", p.Version, err)
	}
	return all[0], all[1:], nil
}
