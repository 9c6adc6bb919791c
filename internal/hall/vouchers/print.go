package vouchers

import (
	"context"
	"io"
	"strconv"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/printing"
	"forayhall/internal/store"
)

// PacketPrint is which packets are printed, and how.
type PacketPrint struct {
	Numbers []string       // empty: every voucher that was chosen
	Stock   printing.Stock // for labels
	Fold    printing.Size  // where set, packets to be folded from a sheet each
	Skip    int
	Say     message.Printer
	Code    func(label string) string // what stands before or around a label's code; nil: the code alone
}

// PacketsPrinted is what was printed.
type PacketsPrinted struct {
	printing.Report
	Packets int
}

// PrintPackets writes the labels of vouchers' packets as a PDF, by number. A place is as the public may know it: packets go
// out of the house.
func PrintPackets(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, in PacketPrint, w io.Writer) (PacketsPrinted, error) {
	var packets []printing.Packet
	run := printing.PacketRun{Stock: in.Stock, Fold: in.Fold, Skip: in.Skip, Say: in.Say, At: h.Now()}
	err := h.View(ctx, actor, access.RemovePlates, scope, func(l *hall.Look) error {
		p, err := newPacker(l, in)
		if err != nil {
			return err
		}
		society, err := l.Tx.SocietyByID(scope.Society)
		if err != nil {
			return err
		}
		run.Title, run.Owner = in.Say.Say("printing.packet.title", "event", p.event.Code), society.Name
		packets, err = p.packets()
		return err
	})
	if err != nil {
		return PacketsPrinted{}, err
	}
	report, err := printing.Packets(w, packets, run)
	return PacketsPrinted{Report: report, Packets: len(packets)}, err
}

// packer knows what stands on packets.
type packer struct {
	look     *hall.Look
	in       PacketPrint
	event    store.Event
	zone     *time.Location
	people   map[foray.ID]store.Person
	places   hall.Places
	vouchers map[foray.ID]hall.Voucher
}

func newPacker(l *hall.Look, in PacketPrint) (p packer, err error) {
	p = packer{look: l, in: in}
	if p.event, err = l.Event(); err != nil {
		return p, err
	}
	p.zone = hall.Zone(p.event)
	if p.people, err = l.PeopleNames(); err != nil {
		return p, err
	}
	if p.places, err = l.Places(); err != nil {
		return p, err
	}
	p.vouchers, err = l.Vouchers()
	return p, err
}

func (p packer) packets() (packets []printing.Packet, err error) {
	wanted, err := p.wanted()
	if err != nil {
		return nil, err
	}
	plates, err := p.look.Plates()
	for _, plate := range plates {
		if p.vouchers[plate.ID].Chosen && (len(p.in.Numbers) == 0 || wanted[plate.Number()]) {
			delete(wanted, plate.Number())
			packets = append(packets, p.packet(plate))
		}
	}
	for n := range wanted {
		if err == nil {
			err = fault.Wrong("number", "packet.not-chosen", "number", n.String())
		}
	}
	if err == nil && len(packets) == 0 {
		err = fault.Wrong("number", "packet.none")
	}
	return packets, err
}

func (p packer) wanted() (map[foray.Number]bool, error) {
	wanted := map[foray.Number]bool{}
	for _, written := range p.in.Numbers {
		n, err := foray.ParseNumber(written, p.event.Code)
		if err != nil {
			return nil, err
		}
		wanted[n] = true
	}
	return wanted, nil
}

func (p packer) packet(plate hall.Plate) printing.Packet {
	v, n := p.vouchers[plate.ID], plate.Number()
	place := p.places.OfPlate(&plate)
	out := printing.Packet{Number: p.event.Code + " " + n.String(), Group: p.in.Say.Say("pages.group." + plate.FormGroup), Collector: hall.CreditedName(p.people[plate.CollectorID]),
		OwnNumber: v.OwnNumber, Found: p.found(plate), Place: place, Host: hall.HostAt(place, plate.Host), Habitat: plate.Habitat,
		Substrate: substrate(hall.WordAlone(place, plate.Substrate, foray.Substrates), p.in.Say), Event: p.event.Name, Code: foray.LabelCode(p.event.Code, n)}
	if place.GeneralisedM() > 0 {
		out.Habitat = "" // words about a sensitive place could say where it is
	}
	if p.in.Code != nil {
		out.Code = p.in.Code(out.Code)
	}
	p.name(&out, plate)
	for _, a := range v.Accessions {
		out.Accessions = append(out.Accessions, p.in.Say.Say("printing.packet.accession", "institution", a.Institution, "number", a.Number))
	}
	for _, t := range v.Tissues {
		out.Tissues = append(out.Tissues, p.in.Say.Say("printing.packet.tissue", "tube", t.Tube))
	}
	for _, s := range v.Sequences {
		out.Sequences = append(out.Sequences, p.in.Say.Say("printing.packet.sequence", "marker", s.Marker, "accession", s.Accession, "repository", s.Repository))
	}
	return out
}

// mostNamed is how many names a packet bears: the two of a dispute.
const mostNamed = 2

// name is what it was signed as and by whom; while nobody signed, the names in question.
func (p packer) name(out *printing.Packet, plate hall.Plate) {
	for _, asked := range plate.Standing.Question[:min(len(plate.Standing.Question), mostNamed)] {
		out.Names = append(out.Names, p.look.Hall.SetName(hall.Written(asked.SlipName), asked.Author))
	}
	signed, ok := plate.Standing.Current()
	if !ok {
		return
	}
	out.Names = out.Names[:min(1, len(out.Names))]
	out.Determiner = hall.CreditedName(p.people[signed.Determiner])
	out.Determined = p.day(signed.HappenedAt)
}

func (p packer) day(t time.Time) string {
	t = t.In(p.zone)
	return p.in.Say.Say("printing.date", "day", strconv.Itoa(t.Day()), "month", message.T("pages.date.month."+strconv.Itoa(int(t.Month()))), "year", strconv.Itoa(t.Year()))
}

// found is when it was picked, as exact as that is known, else the days of the event.
func (p packer) found(plate hall.Plate) string {
	switch {
	case !plate.PickedAt.IsZero():
		return p.day(plate.PickedAt.Time)
	case plate.PickedText != "":
		return plate.PickedText
	case plate.PickedFrom != "":
		return p.span(plate.PickedFrom, plate.PickedTo)
	}
	return p.span(p.event.StartsOn, p.event.EndsOn)
}

func (p packer) span(from, to string) string {
	if to == "" || to == from {
		return p.isoDay(from)
	}
	return p.isoDay(from) + " – " + p.isoDay(to)
}

// isoDay is an ISO date in words; anything else as it is.
func (p packer) isoDay(iso string) string {
	day, err := time.ParseInLocation(time.DateOnly, iso, p.zone)
	if err != nil {
		return iso
	}
	return p.day(day)
}

func substrate(key string, say message.Printer) string {
	if text := "pages.substrate." + key; key != "" && message.Has(text) {
		return say.Say(text)
	}
	return key
}
