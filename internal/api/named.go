package api

import (
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
)

// Name is a name as somebody determined it, with what it is called today.
type Name struct {
	Verbatim  string `json:"verbatim"`
	Name      string `json:"name"`
	Author    string `json:"author,omitempty"`
	Rank      string `json:"rank,omitempty"`
	Qualifier string `json:"qualifier,omitempty"`
	Position  string `json:"qualifier_position,omitempty"`
	Current   string `json:"current,omitempty"` // missing where the name is not known
	Reason    string `json:"reason,omitempty"`
}

// Finding is harm that one of the names may bring, and why it is said.
type Finding struct {
	Severity    int         `json:"severity"` // 1 to 5; 0: nothing is known, which is no comfort
	Syndrome    string      `json:"syndrome,omitempty"`
	Plain       string      `json:"plain,omitempty"`
	OnsetMinH   *float64    `json:"onset_min_h,omitempty"`
	OnsetMaxH   *float64    `json:"onset_max_h,omitempty"`
	CountedFrom string      `json:"onset_counted_from,omitempty"`
	Matched     string      `json:"matched,omitempty"`
	Via         string      `json:"via"`
	Entry       string      `json:"entry,omitempty"`
	Source      string      `json:"source,omitempty"`
	Wide        bool        `json:"wide"`
	OutOfRegion bool        `json:"out_of_region"`
	Own         bool        `json:"own"` // the row is the society's
	Contested   []Contested `json:"contested,omitempty"`
}

func (r *request) inQuestion(p hall.Plate) []Name {
	names := make([]Name, 0, len(p.Standing.Question))
	for _, a := range p.Standing.Question {
		n := r.name(a.SlipName)
		n.Reason = "" // a remark to the bench, not to visitors
		names = append(names, n)
	}
	return names
}

func (r *request) name(n foray.SlipName) Name {
	out := Name{Verbatim: n.Verbatim, Name: n.Name, Author: n.Author, Rank: n.NameRank, Qualifier: n.Qualifier,
		Position: n.Position, Reason: n.Reason}
	if current := r.hall().Current(n); current != nil {
		out.Current = current.Name
	}
	return out
}

func assessed(a hazard.Assessment) []Finding {
	out := make([]Finding, 0, len(a.Findings))
	for _, f := range a.Findings {
		out = append(out, finding(f.Finding))
	}
	return out
}

func finding(f hazard.Finding) Finding {
	out := Finding{Severity: f.Severity, Matched: f.Matched, Via: string(f.Via), Wide: f.Wide, OutOfRegion: f.OutOfRegion, Contested: contested(f.Contests)}
	if s := f.Syndrome; s != nil {
		out.Syndrome, out.Plain, out.OnsetMinH, out.OnsetMaxH, out.CountedFrom = s.Key, s.Plain, s.OnsetMin, s.OnsetMax, s.CountedFrom
	}
	if f.Entry != nil {
		out.Entry, out.Source, out.Own = f.Entry.ID, f.Entry.Source, f.Entry.Own != ""
	}
	return out
}

// Suggestion is a line of a type-ahead list.
type Suggestion struct {
	Name     string `json:"name"`
	Author   string `json:"author,omitempty"`
	Accepted string `json:"accepted"` // the same where the name is current
	Family   string `json:"family,omitempty"`
	Former   bool   `json:"former"`
	Common   string `json:"common,omitempty"`
}

// Suggestions is a type-ahead list, the likeliest first.
type Suggestions struct {
	Names []Suggestion `json:"names"`
}

const (
	longestQuery = 200
	usualNames   = 10
	mostNames    = 50
)

func suggestNames(r *request) (Suggestions, error) {
	q := r.echo.QueryParam("q")
	if len(q) > longestQuery {
		return Suggestions{}, fault.Wrong("q", "text.too-long", "most", longestQuery)
	}
	limit, err := r.number("limit", usualNames, 1, mostNames)
	if err != nil {
		return Suggestions{}, err
	}
	found := r.hall().Knowledge.Names.Suggest(q, int(limit))
	out := Suggestions{Names: make([]Suggestion, 0, len(found))}
	for _, s := range found {
		current := s.Name.Current()
		common := s.Common
		if common == "" {
			common = r.hall().Common(hall.Society{}, current).Name
		}
		out.Names = append(out.Names, Suggestion{Name: s.Shown, Author: s.Name.Author, Accepted: current.Name,
			Family: current.Family, Former: s.Former, Common: common})
	}
	return out, nil
}
