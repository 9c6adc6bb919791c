package view

// LookFor is a dangerous fungus that a name may be or is mistaken for, with the signs that tell it. Its form posts
// look-for (empty, and the names that were shown), quick_N (seen or not_seen, for all of its signs) and look (SIGN=answer).
type LookFor struct {
	Name   SciName
	Hazard Hazard
	Double bool   // it is what the name is mistaken for
	Rival  bool   // it is in question too
	Shown  string // its name, as it comes back
	Quick  string // what was chosen for all of its signs
	Signs  []SignToSee
}

// SignToSee is one sign with its answers.
type SignToSee struct {
	ID       string
	Words    string
	HiddenBy string
	Answers  []Option
}

// SignsLooked is what was looked for before a slip was signed, by dangerous fungus.
type SignsLooked struct {
	Of    SciName
	Lines []SignLooked // those that were answered
	Left  int          // how many were not
}

// SignLooked is a sign with its answer, one of foray.Answers.
type SignLooked struct{ Words, Answer string }

// Field names of what is looked for.
const (
	LookShown = "look-for"
	LookQuick = "quick_"
	LookAt    = "look"
)

// keyed is the key of the shortcuts of the first fungus of a form, so that no key is there twice.
func keyed(first bool, k Key) Key {
	if first {
		return k
	}
	return Key{}
}
