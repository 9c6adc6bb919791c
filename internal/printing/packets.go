package printing

import (
	"fmt"
	"io"
	"slices"
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/message"
)

// Packet is what stands on a voucher's packet. Hall number, the collector's own number and the accession are three
// things, and each is said to be what it is.
type Packet struct {
	Number     string // the hall's, as it is read aloud: "HB26 0417"
	Names      []Name // with qualifier and author; of a dispute both
	Group      string // what it is called while there is no name
	Determiner string
	Determined string // the date of the determination
	Collector  string
	OwnNumber  string
	Found      string // the date
	Place      foray.PublicPlace
	Host       string
	Substrate  string
	Habitat    string
	Accessions []string // "DCM F 000123"
	Tissues    []string
	Sequences  []string
	Event      string // its name
	Code       string // what the printed code says; empty: none
}

// PacketRun is what the packets of one printing have in common.
type PacketRun struct {
	Stock Stock // for labels
	Fold  Size  // where set, each packet is folded from a sheet of this size, and Stock is not asked
	Title string
	Owner string // the society
	At    time.Time
	Skip  int
	Say   message.Printer
}

// Parts of a packet that may be left out where there is no room, beside those of a card.
const (
	HabitatLine  Line = "habitat"
	SequenceLine Line = "sequence"
	TissueLine   Line = "tissue"
	EventLine    Line = "event"
	OwnerLine    Line = "society"
	FoundLine    Line = "found"
)

// packetOrder is the order in which lines are left out. Name, number, date, place, own number and accession never are:
// without them a specimen says nothing.
var packetOrder = []Line{CodeLine, EventLine, HabitatLine, TissueLine, SequenceLine, HostLine, AuthorLine}

// Packets sets packet labels on a stock, or packets to be folded from a sheet each, and writes them as a PDF.
func Packets(w io.Writer, packets []Packet, run PacketRun) (Report, error) {
	draw := drawPackets
	if run.Fold != "" {
		width, height := run.Fold.mm()
		run.Stock = Stock{PageW: width, PageH: height}
		draw = drawFolded
	} else if err := run.Stock.Check(); err != nil {
		return Report{}, err
	}
	c, err := newCanvas(run.Stock.PageW, run.Stock.PageH)
	if err != nil {
		return Report{}, err
	}
	c.describe(run.Title, run.Owner, run.At, run.Say)
	report, err := draw(c, packets, run)
	if err != nil {
		return Report{}, fmt.Errorf("set %d packets: %w", len(packets), err)
	}
	if len(packets) == 0 {
		c.newPage()
	}
	report.Pages = c.page
	return report, c.write(w)
}

func drawPackets(c *canvas, packets []Packet, run PacketRun) (report Report, err error) {
	sheet := cells{c: c, stock: run.Stock, at: max(run.Skip, 0) % run.Stock.PerPage()}
	for _, p := range packets {
		f, err := fitPacket(&c.ruler, p, run, run.Stock.CardW, run.Stock.CardH)
		if err != nil {
			return report, err
		}
		x, y := sheet.next()
		f.draw(c, x, y)
		report.add(f)
	}
	return report, c.pdf.Error()
}

func (r *Report) add(f *packetFit) {
	if f.unfit || len(f.dropped) > 0 {
		r.Cards = append(r.Cards, CardReport{Number: f.p.Number, Dropped: f.dropped, Unfit: f.unfit, Size: f.smallest})
	}
}

// packetFit is a packet's label laid out at one size.
type packetFit struct {
	*ruler
	p        Packet
	run      PacketRun
	w, h     float64
	growth   float64
	dropped  []Line
	q        *code
	smallest float64
	lines    []line // of the text, from the top
	number   []line // at the foot
	unfit    bool
}

const packetPad = 3.0 // mm

// packetCode is the side of the code on a packet, mm.
const packetCode = 15.0

// fitPacket lays a packet out: with everything on it at the largest size that fits, else without what matters least.
func fitPacket(r *ruler, p Packet, run PacketRun, w, h float64) (*packetFit, error) {
	var q *code
	if p.Code != "" {
		var err error
		if q, err = newCode(p.Code); err != nil {
			return nil, err
		}
	}
	at := func(growth float64, dropped []Line) *packetFit {
		f := &packetFit{ruler: r, p: p, run: run, w: w, h: h, growth: growth, dropped: dropped, q: q}
		f.lay()
		return f
	}
	var dropped []Line
	for _, l := range packetOrder {
		if at(leastGrowth, dropped).fits() {
			break
		}
		if p.has(l) {
			dropped = append(dropped, l)
		}
	}
	for growth := largestPacket; growth > leastGrowth; growth *= growthStep {
		if f := at(growth, dropped); f.fits() {
			return f, nil
		}
	}
	f := at(leastGrowth, dropped)
	f.unfit = !f.fits()
	return f, nil
}

// largestPacket is how much larger than usual the print of a packet grows where there is room.
const largestPacket = 1.5

// has reports whether a packet has a line that may be left out.
func (p Packet) has(l Line) bool {
	switch l {
	case CodeLine:
		return p.Code != ""
	case EventLine:
		return p.Event != ""
	case HabitatLine:
		return p.Habitat != ""
	case TissueLine:
		return len(p.Tissues) > 0
	case SequenceLine:
		return len(p.Sequences) > 0
	case HostLine:
		return p.Host != "" || p.Substrate != ""
	}
	return slices.ContainsFunc(p.Names, func(n Name) bool { return n.withoutAuthor().String() != n.String() })
}

func (f *packetFit) without(l Line) bool { return slices.Contains(f.dropped, l) }

func (f *packetFit) style(points float64) style {
	size := max(points*f.growth, smallestPrint)
	if f.smallest == 0 || size < f.smallest {
		f.smallest = size
	}
	return style{upright, size, black}
}

// room is how wide a line may be: beside the code it ends before its quiet zone.
func (f *packetFit) room(y, height float64) float64 {
	if f.codeStands() && y+height > f.h-packetPad-f.q.whole(packetCode) {
		return f.w - 2*packetPad - f.q.whole(packetCode)
	}
	return f.w - 2*packetPad
}

func (f *packetFit) codeStands() bool { return f.q != nil && !f.without(CodeLine) }

func (f *packetFit) fits() bool {
	if f.codeStands() && f.q.whole(packetCode) > min(f.h-2*packetPad, f.w/2) {
		return false
	}
	return packetPad+heightOf(f.lines)+heightOf(f.number) <= f.h-packetPad && f.narrow()
}

// narrow reports whether no line is wider than its room.
func (f *packetFit) narrow() bool {
	y := packetPad
	for _, l := range f.lines {
		if l.width > f.room(y, l.height)+0.01 {
			return false
		}
		y += l.height
	}
	return widest(f.number) <= f.room(f.h-packetPad-heightOf(f.number), heightOf(f.number))+0.01
}

func (f *packetFit) draw(c *canvas, x, y float64) {
	if f.unfit {
		f.lines = nil // the number alone, so that it is written by hand
	}
	c.lines(f.lines, x+packetPad, y+packetPad)
	c.lines(f.number, x+packetPad, y+f.h-packetPad-heightOf(f.number))
	if f.codeStands() && !f.unfit {
		quiet := (f.q.whole(packetCode) - packetCode) / 2
		c.place(f.q, x+f.w-packetPad-f.q.whole(packetCode)+quiet, y+f.h-packetPad-f.q.whole(packetCode)+quiet, packetCode)
	}
}
