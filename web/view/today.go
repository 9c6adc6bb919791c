package view

// TodayPage is what the names of a signed version would be by the classification that is followed now.
type TodayPage struct {
	Layout  Layout
	Version int
	Lines   int  // of the version
	Remade  bool // another classification, or another edition of it
	Changed []TodayLine
	CSV     string
}

// TodayLine is a line of which something changed.
type TodayLine struct {
	Change   string // the key of its text: today.KEY
	Was      VersionName
	Now      *VersionName // nil where the name is the same, or is not known
	WasIn    string       // family
	NowIn    string
	Reason   string // the key of its text: taxon.reason.KEY; "" where there is none
	Source   string
	With     []string // the other lines that are one taxon with it now
	Disputed string
}
