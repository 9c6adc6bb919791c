package list

import (
	"bytes"
	"context"
	"slices"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/hall"
	"forayhall/internal/taxon"
)

// Change says what became of a name since a version was signed.
type Change string

// What becomes of a name.
const (
	Unchanged Change = "unchanged"
	Regrouped Change = "family"  // the same name, in another family
	Moved     Change = "moved"   // it is called something else
	Joined    Change = "joined"  // it is one taxon with another line of the list
	Unlisted  Change = "unknown" // the classification does not have it
)

// Today is what a line of a version would be called by the classification that the society follows now. The line itself
// is never altered.
type Today struct {
	Name    string   `json:"listed_name"`
	Author  string   `json:"listed_author"`
	Family  string   `json:"listed_family"`
	Change  Change   `json:"change"`
	Now     string   `json:"now_name"`
	NowBy   string   `json:"now_author"`
	NowIn   string   `json:"now_family"`
	Reason  string   `json:"reason"` // moved, merged, split, misapplied, spelling, alternative
	Source  string   `json:"source"`
	With    []string `json:"with"` // the other lines that are the same taxon now
	Dispute string   `json:"disputed"`
}

// Renamings is a version under today's classification.
type Renamings struct {
	Version int     `json:"version"`
	Then    string  `json:"checklist_revision"`
	Now     string  `json:"checklist_revision_now"`
	Lines   []Today `json:"lines"`
}

// Changed counts the lines that are something else today.
func (r Renamings) Changed() int {
	n := 0
	for _, t := range r.Lines {
		if t.Change != Unchanged {
			n++
		}
	}
	return n
}

// SeeToday reads a version again by today's classification.
func SeeToday(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, version int) (Renamings, error) {
	_, c, err := Version(ctx, h, actor, scope, version)
	if err != nil {
		return Renamings{}, err
	}
	return rename(c, h.Knowledge.Names), nil
}

func rename(c Canonical, names taxon.Names) Renamings {
	r := Renamings{Version: c.Version, Then: c.ChecklistRev, Now: names.Revision()}
	called := map[string][]string{} // by the name of today: lines that count, which are one taxon
	for _, line := range c.Lines {
		t := today(line, names)
		r.Lines = append(r.Lines, t)
		if t.Now != "" && !slices.Contains(called[t.Now], t.Name) {
			called[t.Now] = append(called[t.Now], t.Name)
		}
	}
	for i := range r.Lines {
		t := &r.Lines[i]
		t.With = slices.DeleteFunc(slices.Clone(called[t.Now]), func(name string) bool { return name == t.Name })
		if len(t.With) > 0 {
			t.Change = Joined
		}
	}
	return r
}

func today(line CanonicalLine, names taxon.Names) Today {
	t := Today{Name: line.Name, Author: line.Author, Family: line.Family}
	n, ok := names.LookupBy(taxon.Key(line.Name), line.Author)
	if !ok {
		t.Change = Unlisted
		return t
	}
	current := n.Current()
	t.Now, t.NowBy, t.NowIn, t.Dispute = current.Name, current.Author, current.Family, current.Disputed
	switch {
	case current.Key != n.Key:
		t.Change, t.Reason, t.Source = Moved, n.Reason, n.Source
	case line.Family != "" && current.Family != "" && line.Family != current.Family:
		t.Change, t.Source = Regrouped, current.Source
	default:
		t.Change = Unchanged
	}
	return t
}

var todayColumns = []string{"listed_name", "listed_author", "listed_family", "change", "now_name", "now_author", "now_family", "reason", "source", "now_one_with", "disputed"}

// CSV is the lines as a table (RFC 4180).
func (r Renamings) CSV() ([]byte, error) {
	rows := make([][]string, 0, len(r.Lines))
	for _, t := range r.Lines {
		rows = append(rows, []string{t.Name, t.Author, t.Family, string(t.Change), t.Now, t.NowBy, t.NowIn, t.Reason, t.Source, strings.Join(t.With, "; "), t.Dispute})
	}
	var w bytes.Buffer
	err := archive.WriteCSV(&w, todayColumns, rows, archive.Formulas)
	return w.Bytes(), err
}
