package view

import (
	"time"

	"forayhall/internal/message"
)

// List is the running list or a published version.
type List struct {
	Layout   Layout
	Version  int // 0: running
	AsOf     time.Time
	By       string // who signed the version
	Digest   string
	Rule     message.Text // the counting rule in a sentence
	Total    int
	Totals   []ListTotal // ascomycetes, basidiomycetes, slime moulds, lichens, others
	Groups   []ListGroup // what counts, in the order that was asked for
	Apart    []ListApart
	CSV      string
	JSON     string
	Versions []Version
	Why      string       // address of what makes up the totals
	Changes  string       // address of the differences to the version before
	Today    string       // address of what its names would be today
	Part     message.Text // the site, the day or both that the list is of; zero: the whole
	Pick     ListPick
	Links    []Link // further files and pages made of the list
}

// ListTotal is one of the groups that are totalled apart; Key is ascomycetes, basidiomycetes, slime-moulds, lichens or
// other, its text "kingdom.KEY".
type ListTotal struct {
	Key   string
	Count int
}

// ListGroup is the lines under one heading: that of a total, or a text of its own.
type ListGroup struct {
	ListTotal
	Text  message.Text // instead of that of Key: an order, a site, a letter
	ID    string       // unique on the page
	Lines []ListLine
}

// ListPick is the form that orders and narrows a list. Each choice is a field of the address; a field without choices is
// left out.
type ListPick struct {
	Part   bool // of a site or a day
	Action string
	Orders []Option
	Groups []Option
	Marks  []Option
	Sites  []Option
	Days   []Option
	Find   string
	Shown  int // lines that are left
	Of     int // lines of the whole; Narrowed says that some are left out
	All    string
}

// Narrowed reports whether something of the whole is left out.
func (p ListPick) Narrowed() bool { return p.Part || p.Shown < p.Of }

// ListApart is what is listed and not counted; Key is disputed, unconfirmed, aff, outside or cultivated, its
// texts "apart.KEY" and "apart.KEY.why".
type ListApart struct {
	Key   string
	Lines []ListLine
}

// ListLine is one taxon.
type ListLine struct {
	Name        SciName   // current
	Determined  []SciName // as determined, where that differs
	Common      Common
	State       Naming
	Collections []Number
	Paths       []string // of the collections, same order
	Path        string   // of the taxon's page at this event
	Fields      int      // field records
	Seen        int      // counted of them
	Sites       []string // already as coarse as the public may see them
	Determiners []string
	Asked       int // signs that were to be looked for at the tables, and of those
	Answered    int // the ones with an answer
	Hazard      *Hazard
	Firsts      []message.Text // to what it is new, possible or sure
	Vouchers    int            // finds that are kept
	Photographs int
	Counts      bool
	Why         message.Text // why it counts or not
}

// Publish is the list keeper's page.
type Publish struct {
	Layout  Layout
	Form    Form   // posts sign ("yes"), note and seen
	Seen    string // what of the list is signed, as its digest
	Next    int    // the version this would be
	List    List
	Missing []Missing
	Ready   bool
	Signer  string
	Note    string
	Changes *VersionChanges // to the last version; nil before the first
}

// Missing is something that stands in the way, or ought to be looked at first.
type Missing struct {
	Text   message.Text
	Path   string
	Blocks bool
}
