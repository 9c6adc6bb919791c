package safety

import (
	"context"
	"io"
	"strconv"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/message"
	"forayhall/internal/printing"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// Print is on what and for whom the warning sheet is printed.
type Print struct {
	printing.Paper
	Code string // the address behind the code on the sheet; empty: no code
}

// PrintSheet writes the warning sheet as it is now, as a PDF.
func PrintSheet(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, in Print, w io.Writer) error {
	var paper printing.WarningSheet
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) (err error) {
		paper, err = onSheet(l, in)
		return err
	})
	if err != nil {
		return err
	}
	return printing.Sheet(w, paper, in.Paper)
}

func onSheet(l *hall.Look, in Print) (printing.WarningSheet, error) {
	event, err := l.Event()
	if err != nil {
		return printing.WarningSheet{}, err
	}
	society, err := l.Tx.SocietyByID(l.Scope.Society)
	if err != nil {
		return printing.WarningSheet{}, err
	}
	made, contact, err := l.WarningSheet(event)
	if err != nil {
		return printing.WarningSheet{}, err
	}
	seq, err := l.Tx.ChangeSeq(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return printing.WarningSheet{}, err
	}
	p := paperSheet{hall: l.Hall, common: l.Hall.CommonNamer(society), say: in.Say, zone: hall.Zone(event)}
	s := printing.WarningSheet{Society: society.Name, Event: event.Name, Code: event.Code, Place: event.Place, At: l.Now, Made: p.when(l.Now),
		Version:   in.Say.Say("safety.paper.version", "n", seq),
		Knowledge: l.Hall.Knowledge.Revision[:8], Final: made.Final, Lacks: made.Lacks, Eaten: made.Eaten, Caution: made.Caution, Live: in.Code}
	if contact != nil {
		s.Contact = p.contact(made.Contact, *contact)
	}
	p.blocks(&s, made)
	return s, nil
}

// paperSheet turns the sheet as data into what is set on paper.
type paperSheet struct {
	hall   *hall.Hall
	common func(*taxon.Name) string
	say    message.Printer
	zone   *time.Location
}

func (p paperSheet) when(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	t = t.In(p.zone)
	return p.say.Say("safety.paper.at", "day", t.Day(), "month", message.T("pages.date.month."+strconv.Itoa(int(t.Month()))), "year", t.Year(), "time", t.Format("15:04"))
}

func (p paperSheet) contact(c hazard.Contact, typed store.PoisonContact) printing.Contact {
	return printing.Contact{Name: c.Name, Phone: c.Phone, Hours: typed.Hours, TypedBy: c.TypedBy, Typed: p.when(c.TypedAt), TestedBy: c.TestedBy,
		Tested: p.when(c.TestedAt)}
}

func (p paperSheet) blocks(s *printing.WarningSheet, made hazard.Sheet) {
	for _, line := range made.Here {
		s.Here = append(s.Here, p.here(line))
	}
	s.Nameless = plates(made.Nameless)
	for _, line := range made.Wide {
		s.Wide = append(s.Wide, p.wide(line))
	}
	for _, d := range made.Doubles {
		s.Doubles = append(s.Doubles, p.double(d, made.Here))
	}
	for _, plate := range made.NoEntry {
		for _, name := range plate.Names[:1] {
			s.NoEntry = append(s.NoEntry, printing.Unlisted{Name: p.hall.SetName(name, ""), Plates: plates([]hazard.Standing{plate})})
		}
	}
}

func (p paperSheet) here(line hazard.HereLine) printing.HereLine {
	f := line.Finding
	out := printing.HereLine{Name: p.hall.SetName(line.Taxon, ""), Common: p.hall.CommonWritten(line.Taxon, p.common), Severity: f.Severity,
		Syndrome: f.Syndrome.Name, Plain: f.Syndrome.Plain, Onset: line.Onset, Plates: plates(line.Plates), Matched: f.Matched,
		OutOfRegion: f.OutOfRegion, Contested: contested(f.Contests)}
	out.Via, out.Signs = via(f.Via), p.signs(line)
	if f.Entry.Exposure != hazard.Meal {
		out.Exposure = f.Entry.Exposure.Text()
	}
	for _, d := range line.MistakenFor {
		out.Taken = append(out.Taken, printing.Taken{Gathered: p.hall.SetName(d.Other, ""), Common: p.hall.CommonWritten(d.Other, p.common),
			Differences: d.Differences})
	}
	return out
}

// via says in few words why a line is here; nothing where it is listed under its own name.
func via(v hazard.Via) message.Text {
	switch v {
	case hazard.Listed:
		return message.Text{}
	case hazard.FormerName:
		return message.T("printing.former-name")
	}
	return v.Text()
}

// signs are what tells a fungus that can kill.
func (p paperSheet) signs(line hazard.HereLine) string {
	if line.Finding.Severity < hazard.Deadly {
		return ""
	}
	var texts []string
	for _, sign := range p.hall.Knowledge.Hazards.Signs(line.Taxon) {
		texts = append(texts, sign.Text)
	}
	return strings.Join(texts, "; ")
}

func (p paperSheet) wide(line hazard.WideLine) printing.WideLine {
	out := printing.WideLine{Name: p.hall.SetName(line.Name, ""), Common: p.hall.CommonWritten(line.Name, p.common), Plates: plates(line.Plates),
		Worst: p.member(line.Worst), OutOfRegion: line.Worst.OutOfRegion, Contested: contested(line.Worst.Contests)}
	if line.Nearer != nil {
		nearer := p.member(*line.Nearer)
		out.Nearer = &nearer
	}
	return out
}

// member is one of those that a wide name could turn out to be: the taxon of the row.
func (p paperSheet) member(f hazard.Finding) printing.Member {
	return printing.Member{Name: p.hall.SetName(f.Entry.Taxon, ""), Severity: f.Severity, Plain: f.Syndrome.Plain}
}

func (p paperSheet) double(d hazard.DoubleLine, here []hazard.HereLine) printing.DoubleLine {
	out := printing.DoubleLine{Gathered: p.hall.SetName(d.Matched, ""), Common: p.hall.CommonWritten(d.Matched, p.common), Plates: plates(d.Plates),
		Poisonous: p.hall.SetName(d.Other, ""), PoisonousCommon: p.hall.CommonWritten(d.Other, p.common), Severity: d.Severity,
		Differences: d.Differences}
	for _, line := range here {
		if line.Taxon == d.Other {
			out.Here = plates(line.Plates)
		}
	}
	return out
}

func plates(list []hazard.Standing) []printing.Plate {
	out := make([]printing.Plate, len(list))
	for i, s := range list {
		out[i] = printing.Plate{Number: s.Number, Table: s.Table, State: printing.State(s.State)}
	}
	return out
}

// contested is what the society holds against a row, in one line.
func contested(contests []hazard.Contest) string {
	var text string
	for i, c := range contests {
		if i > 0 {
			text += "; "
		}
		text += c.Reason + " (" + c.Source + ")"
	}
	return text
}
