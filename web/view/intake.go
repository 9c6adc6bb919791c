package view

import (
	"time"

	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

// Intake is the desk's page: one collection after the other, with what is carried over in sight.
// Field names: number group team site collector picked substrate host habitat growth plate cooled fruitbodies
// weight outside photographed odour latex latex_change latex_seconds cut_change cut_seconds stickiness texture remarks.
type Intake struct {
	Layout Layout
	Form   Form
	Saved  *Saved // just saved; nil on the first
	Names  string // not used by the desk when empty

	Code         string // "HB26"
	Number       string // next, or as typed: "0418"
	NumberFrom   string // the block in hand, "0400" …
	NumberTo     string // … "0499"; empty: no block
	Group        string // one of Groups
	Teams        []Option
	Sites        []Option
	Collector    string
	People       []string // for the list of suggestions
	Picked       string   // "2026-10-03T11:20", local to the event
	Substrates   []Option
	Host         string
	Hosts        []string
	Habitat      string
	Habitats     []string
	Growths      []Option
	Plates       []Option
	Cooled       bool
	Fruitbodies  string
	Weight       string // g
	NeedsCount   bool   // a permit asks for fruitbodies or weight
	Outside      bool
	Odour        string
	Latex        string
	LatexChange  string
	LatexSeconds string
	CutChange    string
	CutSeconds   string
	Stickiness   []Option
	Textures     []Option
	Remarks      string
	Carried      []message.Text // what is kept from the last, in words: T("intake.carried.team", "team", …)
}

// Saved is the answer to a slip that went in.
type Saved struct {
	Number  Number
	Group   string
	At      time.Time
	Path    string
	Missing []message.Text // what is still to follow
	Hazard  *Hazard
}

// Groups are the groups one taps at the desk, in the order of the table plan; each has a picture and a text
// "group.KEY".
var Groups = []string{"bolete", "ring_and_sack", "brittlegill", "milkcap", "webcap", "waxcap", "inkcap",
	"white_spored", "pink_spored", "small_brown", "brown_spored", "dark_spored", "parasol", "oyster", "chanterelle", "bracket", "crust", "tooth", "coral",
	"puffball", "stinkhorn", "cup", "flask", "jelly", "slime_mould", "lichen", "other"}

// Vocabularies for Options(area, values, chosen); the texts are "AREA.VALUE".
var (
	// Substrates: Options("substrate", …).
	Substrates = []string{"soil", "litter", "wood_standing", "wood_fallen", "stump", "twig", "living_tree", "cone",
		"dung", "burnt_ground", "moss", "grass", "another_fungus", "insect", "other"}
	// Growths: Options("growth", …).
	Growths = []string{"single", "scattered", "group", "tuft", "ring", "tiers"}
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
