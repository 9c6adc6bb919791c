package view

import (
	"net/url"
	"strings"
	"time"

	"forayhall/internal/message"
)

// The addresses of a society's own pages.

func (s Society) List() string              { return s.Path + "/list" }
func (s Society) ListCSV() string           { return s.Path + "/list.csv" }
func (s Society) Sites() string             { return s.Path + "/sites" }
func (s Society) Feed() string              { return s.Path + "/feed.atom" }
func (s Society) Calendar() string          { return s.Path + "/events.ics" }
func (s Society) Season(year string) string { return s.Path + "/season/" + url.PathEscape(year) }
func (s Society) Site(code string) string   { return s.Sites() + "/" + url.PathEscape(code) }
func (s Society) Event(code string) string  { return s.Path + "/" + code }
func (s Society) Taxon(name string) string {
	return s.Path + "/t/" + url.PathEscape(strings.ReplaceAll(name, " ", "_"))
}

// SocietyNav is the way round a society's pages.
func SocietyNav(s Society) []Link {
	return []Link{{Text: T("nav.society"), Path: s.Path}, {Text: T("nav.society.list"), Path: s.List()}, {Text: T("nav.society.sites"), Path: s.Sites()}}
}

// SocietyFront is a society's page.
type SocietyFront struct {
	Layout   Layout
	About    string // in its own words
	Mail     string // typed as public, and so are the next two
	Contact  string
	Web      string
	Running  []EventCard
	Upcoming []EventCard
	Seasons  []Season // past, newest first
}

// Season is the events of one year.
type Season struct {
	Year   string
	Path   string
	Events []SeasonEvent
}

// SeasonEvent is an event in a line, with its lists.
type SeasonEvent struct {
	Code, Name, Path, Place string
	From, To                time.Time
	Versions                []Version
	Walks                   []SeasonWalk
}

// SeasonWalk is one walk of it.
type SeasonWalk struct {
	Title     string
	At        time.Time
	Place     string
	KeptBack  bool
	CalledOff bool
}

// SocietyList is what a society found: of all its events, of one season, or at one site.
type SocietyList struct {
	Layout  Layout
	Total   List // its totals and its rule
	Groups  []SocietyGroup
	Apart   []SocietyGroup
	CSV     string
	Pick    SocietyPick
	Kept    []KeptBack // how places are kept back
	Events  int
	AnyName bool // something is on the list at all
}

// SocietyGroup is the lines under one heading, of a group or of a reason.
type SocietyGroup struct {
	Key   string
	Count int
	Lines []SocietyLine
}

// SocietyLine is one taxon.
type SocietyLine struct {
	Name           SciName
	Path           string
	Determined     []SciName
	Common         Common
	Hazard         *Hazard
	State          Naming
	Plates, Fields int
	Events         []Link
	Sites          []Link
	First, Last    string // years
	Counts         bool
	Why            message.Text
}

// years is in which year, or from which to which.
func (l SocietyLine) years() message.Text { return yearsOf(l.First, l.Last) }

func yearsOf(first, last string) message.Text {
	if first == last {
		return T("society.year", "year", first)
	}
	return T("society.years", "first", first, "last", last)
}

// SocietyPick narrows the list.
type SocietyPick struct {
	Part   bool // of a year or a site
	Action string
	Find   string
	Years  []Option
	Sites  []Option
	Shown  int
	Of     int
}

// narrowed reports whether something of the whole is left out.
func (p SocietyPick) narrowed() bool { return p.Part || p.Shown < p.Of }

// KeptBack is a grid in which places are given out, with how many of the finds.
type KeptBack struct{ Kilometres, Finds int }

// SeasonPage is a year of a society.
type SeasonPage struct {
	SocietyList
	Year          string
	Before, After *Link
	Events        []SeasonEvent
}

// SitesPage is the sites of a society.
type SitesPage struct {
	Layout Layout
	Map    SiteMap
	Sites  []SiteLine
	Grid   int // kilometres of the finest grid in which other places are given out
	Coarse int // and of that of protected finds
}

// SiteLine is one site.
type SiteLine struct {
	Name, Code, Path string
	Number           int // on the map; 0: it is not on it
	Finds            int
	Events           []Link
}

// SitePage is one site in its public form.
type SitePage struct {
	SocietyList
	Name, Code string
	Point      *SitePoint
	Map        SiteMap
	Found      []Link // at which events it appears
	Sites      string
	Coarse     int // kilometres of the grid of protected finds
}

// OnlyHere leaves the site out of its own list's lines.
func (p *SitePage) OnlyHere() {
	for _, groups := range [][]SocietyGroup{p.Groups, p.Apart} {
		for _, g := range groups {
			for i := range g.Lines {
				g.Lines[i].Sites = nil
			}
		}
	}
}

// SitePoint is where it is, in decimal degrees.
type SitePoint struct {
	Latitude, Longitude string
	UncertaintyM        int
}

// SocietyTaxon is a name over all events of a society.
type SocietyTaxon struct {
	Layout      Layout
	Name        SciName
	Asked       *SciName
	Unknown     bool
	Common      Common
	Former      []FormerName
	Hazard      *Hazard
	Newest      *Link // the newest event's page of it: hazards, doubles, what is known
	NewestCode  string
	Sure        int
	Unsure      int
	Events      []TaxonEventLine
	First, Last string
	Sites       []SiteFound
	Kept        []KeptBack
	Unsaid      int
	Flagged     bool
	Tens        Tens
	Within      []WithinLine
}

func (t SocietyTaxon) finds() int { return t.Sure + t.Unsure }

// TaxonEventLine is how often it was found at one event.
type TaxonEventLine struct {
	Code, Name, Path string
	From, To         time.Time
	Plates, Fields   int
}

// SiteFound is how often at one site.
type SiteFound struct {
	Name, Path string
	Finds      int
}
