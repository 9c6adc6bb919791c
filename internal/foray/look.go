package foray

// Seen is what came of looking for a sign.
type Seen string

const (
	IsSeen      Seen = "seen"
	NotSeen     Seen = "not_seen"
	NotVisible  Seen = "not_visible"  // hidden or gone, as a cut stem hides a volva
	NotRecorded Seen = "not_recorded" // nobody said
)

// Answers lists what may be answered, in the order of a form; NotRecorded is what is stored where nothing was.
var Answers = []Seen{IsSeen, NotSeen, NotVisible}

// Look is a sign of a dangerous fungus that was asked for at a sign-off, with the answer. It keeps the words of the sign, so
// that it can be read when the knowledge has changed.
type Look struct {
	Of     string `json:"of"`   // the dangerous fungus
	Sign   string `json:"sign"` // under which the knowledge has it
	Words  string `json:"words"`
	Answer Seen   `json:"answer"`
}
