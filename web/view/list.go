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
	Groups   []ListGroup // ascomycetes, basidiomycetes, slime moulds, lichens, others
	Apart    []ListApart
	CSV      string
	JSON     string
	Versions []Version
	Why      string // address of what makes up the totals
	Changes  string // address of the differences to the version before
	Today    string // address of what its names would be today
}

// ListGroup is one of the groups that are totalled apart; Key is ascomycetes, basidiomycetes, slime-moulds,
// lichens or other, its text "kingdom.KEY".
type ListGroup struct {
	Key   string
	Count int
	Lines []ListLine
}

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
	FirstRecord bool
	Counts      bool
	Why         message.Text // why it counts or not
}

// Publish is the list keeper's page.
type Publish struct {
	Layout  Layout
	Form    Form // posts sign ("yes") and note
	Next    int  // the version this would be
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
