package view

import (
	"slices"
	"strings"
	"time"

	"github.com/a-h/templ"

	"forayhall/internal/foray"
	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

// Intake is the desk's page: one collection after the other, with what is carried over in sight. With Correct it is the
// same form over a collection that is there.
// Field names: number group team site collector picked substrate host habitat growth plate cooled fruitbodies
// weight outside cultivated odour latex latex_change latex_seconds cut_change cut_seconds stickiness texture remarks
// name name_reason.
type Intake struct {
	Layout  Layout
	Form    Form
	Saved   *Saved // just saved; nil on the first
	Taken   *Taken // the number was used before
	Correct *Correct
	Names   string // address of the type-ahead

	Code         string   // "HB26"
	Number       string   // next, or as typed: "0418"
	NumberFrom   string   // the block in hand, "0400" …
	NumberTo     string   // … "0499"; empty: no block
	Group        string   // one of Groups
	Groups       []string // in the order in which they are drawn; empty: Groups
	Teams        []Option
	Sites        []Option
	Collector    string
	People       []string // for the list of suggestions
	Picked       string   // "2026-10-03T11:20", local to the event
	PickedText   string   // as it was written, where it is no exact time
	Substrates   []Option
	Host         string
	Hosts        []Offer
	Habitat      string
	Habitats     []string
	Growths      []Option
	Plates       []Option
	Cooled       bool
	Fruitbodies  string
	Weight       string // g
	NeedsCount   bool   // a permit asks for fruitbodies or weight
	Outside      bool
	Cultivated   bool
	Odour        string
	Odours       []Offer
	Latex        string
	LatexChange  string
	LatexSeconds string
	CutChange    string
	CutSeconds   string
	Stickiness   []Option
	Textures     []Option
	Remarks      string
	Name         string // a first name, as the collector says it
	NameReason   string
	Carried      []Carried
	Open         []string // folds that were used for the last one, of Folds
	AtDesk       int      // plates that stand at the desk
	Hand         Form     // hands them to the bench
	Incomplete   int
	// Photograph is where the paper slip's photograph is taken and shown; nil draws nothing.
	Photograph templ.Component
}

// Carried is one thing that the form keeps from the last find, with the way to let go of it.
type Carried struct {
	Field string // whose value it is
	Text  message.Text
	Clear string // address of the form without it
}

// Correct is a collection whose field slip is put right.
type Correct struct {
	Number Number
	Path   string  // of its page
	Seen   string  // marks the field data that is shown
	Noted  []Noted // what was noted of it, which stays
	Now    []Fact  // what stands there now, where somebody changed it meanwhile
	Closed bool    // the event is: it is asked why
	Reason string
}

// Taken is the answer to a number that was used before.
type Taken struct {
	Number Number
	Path   string // of what bears it; empty: only its label was spoilt
	Next   Number // filled in as the new label's
}

// Offer is a word that a field offers while one types: what is kept, and what else finds it.
type Offer struct {
	Value string
	Label message.Text
}

// Folds are the parts of the form that open when they are needed, with the fields that lie in them.
var Folds = map[string][]string{
	FoldFades: {"latex", "latex_change", "latex_seconds", "cut_change", "cut_seconds", "stickiness", "texture"},
	FoldGrew:  {"site", "collector", "picked", "substrate", "habitat", "growth"},
	FoldPlate: {"plate", "fruitbodies", "weight", "cooled", "outside", "cultivated", "remarks"},
	FoldName:  {"name", "name_reason"},
}

// The folds.
const (
	FoldFades = "fades"
	FoldGrew  = "grew"
	FoldPlate = "plate"
	FoldName  = "name"
)

// open reports whether a fold is: it was used for the last one, or holds a field that was not taken.
func (p Intake) open(fold string) bool {
	if slices.Contains(p.Open, fold) || p.Correct != nil && fold != FoldFades {
		return true
	}
	return slices.ContainsFunc(Folds[fold], func(name string) bool { return !p.Layout.Errors.of("", name).IsZero() })
}

// groups are the pictures in the order in which they are drawn.
func (p Intake) groups() []string {
	if len(p.Groups) == 0 {
		return Groups
	}
	return p.Groups
}

// title is the page's heading.
func (p Intake) title() string {
	if p.Correct != nil {
		return "intake.correct"
	}
	return "intake.heading"
}

// KeysOfIntake is the list at the foot of the desk.
var KeysOfIntake = []Key{keyNumber, keyGroup, keyFades, keyGrew, keyPlate, keyName}

var (
	keyNumber = Key{"n", "keys.intake.number"}
	keyGroup  = Key{"g", "keys.intake.group"}
	keyFades  = Key{"m", "keys.intake.fades"}
	keyGrew   = Key{"w", "keys.intake.grew"}
	keyPlate  = Key{"p", "keys.intake.plate"}
	keyName   = Key{"t", "keys.intake.name"}
)

// Saved is the answer to a slip that went in.
type Saved struct {
	Number  Number
	Group   string
	At      time.Time
	Path    string
	Missing []message.Text // what is still to follow
	Hazard  *Hazard
	Flags   []message.Text // protected, controlled: what whoever holds it must know
	Mend    string         // address of the form over it, where something is to follow
	AtDesk  bool
	Send    *PhotoForm
}

// aloud is the number digit by digit, as it is called across the hall.
func (n Number) aloud() string { return strings.Join(strings.Split(n.Short(), ""), " ") }

// Groups are the groups one taps at the desk, in the order of the table plan; each has a picture and a text
// "group.KEY".
var Groups = []string{"bolete", "ring_and_sack", "brittlegill", "milkcap", "webcap", "waxcap", "inkcap",
	"white_spored", "pink_spored", "small_brown", "brown_spored", "dark_spored", "parasol", "oyster", "chanterelle", "bracket", "crust", "tooth", "coral",
	"puffball", "stinkhorn", "cup", "flask", "jelly", "slime_mould", "lichen", "other"}

// Vocabularies for Options(area, values, chosen); the texts are "AREA.VALUE".
var (
	// Substrates: Options("substrate", …).
	Substrates = foray.Substrates
	// Growths: Options("growth", …).
	Growths = foray.Growths
	// Plates: Options("plate", …), the footprints of the display.
	Plates = []string{"dish", "side", "plate", "tray", "large"}
	// Stickiness: Options("stickiness", …).
	Stickiness = []string{"dry", "tacky", "slimy"}
	// Textures: Options("texture", …).
	Textures = []string{"brittle", "fibrous", "rubbery", "corky", "woody", "gelatinous", "powdery"}
	// Bases: Options("basis", …), in foray's words.
	Bases = []string{"macroscopic", "microscopy", "reagent", "spore_print", "comparison", "sequence", "photograph_only",
		"in_the_field"}
	// Places: Options("where", …), in foray's words.
	Places = []string{"table", "desk", "bench", "back_table", "dryer", "sent", "discarded", "lost"}
	// Roles: RoleText, in the words of access.
	Roles = []string{"member", "team_leader", "desk", "scribe", "steward", "identifier", "chief_identifier",
		"safety_lead", "list_keeper", "organiser"}
)

// qualifierKeys are the qualifiers that a form offers, with the keys of their texts.
var qualifierKeys = []struct {
	q   taxon.Qualifier
	key string
}{
	{taxon.None, "none"}, {taxon.Confer, "cf"}, {taxon.Affinis, "aff"}, {taxon.SensuLato, "sl"},
	{taxon.SensuStrict, "sstr"}, {taxon.Group, "group"}, {taxon.OnlyGenus, "sp"},
}

// QualifierOptions are the choices of a sign-off.
func QualifierOptions(chosen taxon.Qualifier) []Option {
	options := make([]Option, len(qualifierKeys))
	for i, k := range qualifierKeys {
		options[i] = Option{Value: string(k.q), Text: T("qualifier." + k.key), Chosen: k.q == chosen}
	}
	return options
}

// RoleText is the name of a right in the event.
func RoleText(role string) message.Text { return T("role." + role) }
