// Package earlier is where a society's lists of what was found before are taken in, read and withdrawn, and where the
// first records of an event are seen. A list stands as it was written: it must never guess a name, never alter a list
// once it is there, and never call a find new where there is nothing to compare it with.
package earlier

import (
	"context"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// Scopes are what a list may be of.
var Scopes = []string{store.OfSite, store.OfSociety, store.OfRecord}

// MostLines is the longest list that is taken in at once.
const MostLines = 100_000

const (
	mostTitle = 200  // characters
	mostWords = 1000 // of a source, or a reason
)

// About is what whoever takes in a list says of it.
type About struct {
	Title  string `json:"title"`
	Scope  string `json:"scope"`            // site, society, record
	Site   string `json:"site,omitempty"`   // its code or name, as the society uses it from event to event
	Area   string `json:"area,omitempty"`   // of a list of record, in words
	Source string `json:"source"`           // a citation
	Period string `json:"period,omitempty"` // a year, a day, or the first and the last; empty: what its lines say
	File   string `json:"file,omitempty"`
}

// tidied refuses what does not hold together.
func (a About) tidied() (About, error) {
	wrong := map[string]message.Text{}
	for _, f := range []struct {
		name string
		at   *string
		most int
	}{{"title", &a.Title, mostTitle}, {"source", &a.Source, mostWords}, {"site", &a.Site, mostTitle}, {"area", &a.Area, mostTitle}, {"file", &a.File, mostTitle}} {
		*f.at = strings.Join(strings.Fields(*f.at), " ")
		if len([]rune(*f.at)) > f.most {
			wrong[f.name] = message.T("text.too-long", "most", f.most)
		}
	}
	need := func(name string, has bool) {
		if !has {
			wrong[name] = message.T("earlier." + name + "-missing")
		}
	}
	need("title", a.Title != "")
	need("source", a.Source != "")
	switch a.Scope {
	case store.OfSite:
		need("site", a.Site != "")
		a.Area = ""
	case store.OfRecord:
		need("area", a.Area != "")
		a.Site = ""
	case store.OfSociety:
		a.Site, a.Area = "", ""
	default:
		wrong["scope"] = message.T("earlier.scope-missing")
	}
	if len(wrong) > 0 {
		return a, fault.Many(wrong)
	}
	return a, nil
}

// Options is how a list is read.
type Options struct {
	MonthFirst bool `json:"month_first,omitempty"` // 03/04/1999 is 4 March
	// A name that reads like a misspelling, or like one of several, is asked back. Take are those, as written, that are
	// what they look like, TakeAll takes every one that looks like a single name, and AsWritten keeps the others as they
	// are written.
	Take      []string `json:"take,omitempty"`
	TakeAll   bool     `json:"take_all,omitempty"`
	AsWritten bool     `json:"as_written,omitempty"`
	LeaveOut  bool     `json:"leave_out,omitempty"` // take the list without the rows that cannot be taken
}

// ReadName is a name of a list and what it was read as.
type ReadName struct {
	Written string   `json:"written"`
	Lines   int      `json:"lines"`          // how many have it
	First   int      `json:"first_line"`     //
	Read    string   `json:"read,omitempty"` // the name that was found, or that it looks like
	Now     string   `json:"now,omitempty"`  // what that is called now, where it is another name
	May     []string `json:"may_be,omitempty"`
}

// Outcome is what a list was read as, and what became of it.
type Outcome struct {
	List      foray.ID          // zero: nothing was written
	Rows      int               // of the file
	Lines     int               // that are taken
	Matched   int               // lines whose name is current
	Synonyms  int               // lines whose name is called something else now
	Former    []ReadName        // those names
	Asked     []ReadName        // misspelt, or one of several: not answered
	Spelt     []ReadName        // misspelt, and taken for what they look like
	Unknown   []ReadName        // kept as they are written: nothing is known of them
	Refused   []archive.Refused // rows that cannot be taken
	Notes     []message.Text
	PeriodOf  archive.DateRange // of the list
	HeaderRow string
}

// Added is the answer to a list that was taken in.
type Added struct {
	ID    foray.ID `json:"id"`
	Lines int      `json:"lines"`
}

// may is who takes in lists and withdraws them: whoever keeps the list, and whoever sets up.
func may(l *hall.Look) error { return l.May(access.SetUp, access.PublishList) }

// today is the day where it is latest: a find of today is not of tomorrow anywhere.
func today(h *hall.Hall) time.Time {
	y, m, d := h.Now().UTC().Add(14 * time.Hour).Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// DryRun reads a list for somebody who may take it in, says what would happen and writes nothing.
func DryRun(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, about About, t *archive.Table, opts Options) (Outcome, error) {
	if err := h.View(ctx, actor, access.NameOwn, scope, may); err != nil {
		return Outcome{}, err
	}
	about, err := about.tidied()
	if err != nil {
		return Outcome{}, err
	}
	p, err := read(h, about, t, opts)
	if err != nil {
		return Outcome{}, err
	}
	err = h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) error { return p.isNew(l) })
	return p.out, err
}
