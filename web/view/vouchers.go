package view

import (
	"slices"
	"time"

	"forayhall/internal/message"
)

// Forms of the vouchers' page; each goes to Event.Vouchers() + "/" + its key.
const (
	FormVoucherChoose = "choose"
	FormVoucherLoad   = "load"
	FormVoucherOut    = "out"
	FormVoucherPacks  = "packets"
	FormDryer         = "dryer"
	FormDryerTaken    = "dryer-taken"
	FormDryerHeat     = "temperature"
)

// Forms of one voucher's page; each goes to Event.Voucher(number) + "/" + its key.
const (
	FormVoucherSay   = "say"
	FormVoucherCode  = "code"
	FormVoucherRight = "right"
)

// Vouchers is the page of the vouchers, VoucherMap the map of the dryers to be printed, and Voucher one of them.
func (e Event) Vouchers() string             { return e.Path + "/vouchers" }
func (e Event) VoucherMap() string           { return e.Vouchers() + "/map" }
func (e Event) Voucher(number string) string { return e.Vouchers() + "/" + number }

// LabelsPDF is number labels, PacketsPDF the packets of vouchers.
func (e Event) LabelsPDF() string  { return e.Papers() + "/labels.pdf" }
func (e Event) PacketsPDF() string { return e.Papers() + "/packets.pdf" }

// VouchersRoom is what is kept, where it lies, and what is missing.
type VouchersRoom struct {
	Layout    Layout
	Gaps      []VoucherGap
	Proposals []VoucherProposal
	More      int // proposals that are not shown
	Choose    VoucherChooseForm
	Dryers    []DryerPlan
	Loose     []NumberTo
	Map       string // where the map is printed; empty: there is no dryer
	Load      *VoucherLoadForm
	Out       *VoucherOutForm
	Dryer     DryerForm
	Packets   *VoucherPacksForm
	Dropped   []VoucherLine
	Papers    VoucherPapers
}

// VoucherGap is something that is not as it should be, and where it is mended.
type VoucherGap struct {
	Kind string
	Text message.Text
	Path string
}

// VoucherProposal is a plate that may be worth keeping. Keep chooses it for its first reason, where the law lets it.
type VoucherProposal struct {
	Number  Number
	Path    string
	Name    SciName
	Group   string
	State   Naming
	Reasons []string
	Barred  message.Text
	Keep    *Form
}

// VoucherChooseForm posts number, reason, fruitbodies, tissue, words.
type VoucherChooseForm struct {
	Form                       Form
	Number, Fruitbodies, Words string
	Reasons                    []Option
	Tissue                     bool
}

// DryerPlan is a dryer from the front, with what lies where.
type DryerPlan struct {
	ID       string
	Name     string
	Head     []int // the places of a tray, from 1; one: no heads
	Trays    []DryerTray
	Free     int
	Readings []DryerReading
	Advice   message.Text
	Heat     *DryerHeatForm
	Take     *ActForm // where it is empty
}

// DryerTray is a tray of it.
type DryerTray struct {
	Name   string
	Places []DryerPlace
}

// DryerPlace is what lies at one place.
type DryerPlace struct {
	Text   string
	Plates []DryerPlate
}

// DryerPlate is a number with what it was called when the map was printed.
type DryerPlate struct {
	Number Number
	Path   string
	Name   SciName
	Group  string
	Tissue bool
	Chosen bool
}

// DryerReading is a temperature.
type DryerReading struct {
	Celsius string
	At      message.Text
	By      string
	Words   string
}

// DryerHeatForm posts dryer, celsius, words.
type DryerHeatForm struct {
	Form                  Form
	Dryer, Celsius, Words string
}

// VoucherLoadForm posts plates (number and place, one a line), dryer, reason.
type VoucherLoadForm struct {
	Form    Form
	Plates  string
	Dryers  []Option
	Reasons []Option
}

// VoucherOutForm posts numbers, dry, where.
type VoucherOutForm struct {
	Form    Form
	Numbers string
	Dry     bool
	Where   []Option
}

// DryerForm posts name, rows, trays, places.
type DryerForm struct {
	Form                      Form
	Name, Rows, Trays, Places string
}

// VoucherPacksForm posts plate (of each that is ticked), act, institution, with.
type VoucherPacksForm struct {
	Form              Form
	Lines             []VoucherLine
	Acts              []Option
	Institution, With string
	Ticked            map[string]bool
}

// VoucherLine is one voucher in a line.
type VoucherLine struct {
	Number Number
	Path   string
	Name   SciName
	Group  string
	Short  string // of the number, as it is posted
	Facts  []message.Text
}

// VoucherPapers is what can be printed: forms that ask for a PDF.
type VoucherPapers struct {
	Labels, Packets string
	Stocks          []Option
	Kept            int
	Typed           func(form, field string) string // what was asked for and could not be printed
}

// Forms of the papers; what they ask for is no page.
const (
	FormPackets = "packets-pdf"
	FormLabels  = "labels-pdf"
)

func (p VoucherPapers) stocks(form string) []Option {
	options := slices.Clone(p.Stocks)
	for i := range options {
		options[i].Chosen = options[i].Value == p.Typed(form, "stock")
	}
	return options
}

// VoucherPage is one plate as a voucher.
type VoucherPage struct {
	Layout  Layout
	Number  Number
	Plate   string // address of its collection
	Name    SciName
	Group   string
	State   Naming
	Facts   []message.Text
	Barred  bool
	History []VoucherEvent
	Codes   []VoucherCode
	Choose  *VoucherChooseForm
	Say     *VoucherSayForm
	Code    *VoucherCodeForm
	Room    string
}

// VoucherEvent is one thing that was said, newest first.
type VoucherEvent struct {
	Text  message.Text
	At    time.Time
	By    string
	Words string
}

// VoucherCode is a number that it bears; Right puts it right, where one may.
type VoucherCode struct {
	ID    string
	Kind  string
	Text  message.Text
	Right *VoucherRightForm
}

// VoucherSayForm posts act and words.
type VoucherSayForm struct {
	Form  Form
	Acts  []Option
	Words string
}

// VoucherCodeForm posts kind, code, held_at, marker, dried, dated, by.
type VoucherCodeForm struct {
	Form                            Form
	Kinds                           []Option
	Code, HeldAt, Marker, Dated, By string
	Dried                           bool
	People                          []string
}

// VoucherRightForm posts id, code, held_at, marker, dried, dated, words.
type VoucherRightForm struct {
	Form                                       Form
	Key                                        string // of the form on the page
	Kind, Code, HeldAt, Marker, Dated, By, Why string
	Dried                                      bool
}

// RightKey tells the forms of several codes apart.
func RightKey(id string) string { return FormVoucherRight + "-" + id }

// DryerMapPage is the map of the dryers on paper.
type DryerMapPage struct {
	Layout Layout
	Dryers []DryerPlan
	AsOf   time.Time
	Back   string
}
