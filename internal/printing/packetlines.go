package printing

import (
	"strconv"
	"strings"
)

// lay sets the lines in the order in which a herbarium reads them.
func (f *packetFit) lay() {
	f.write([]span{{f.run.Owner, f.style(8).bold()}, {f.event(), f.style(8)}}, tight)
	f.named()
	f.write(f.facts(f.style(9.5), f.p.origin(f)...), tight)
	f.write(f.facts(f.style(9.5), f.p.gathered(f)...), tight)
	f.write(f.facts(f.style(9.5).bold(), f.p.Accessions...), tight)
	f.write(f.facts(f.style(8.5), f.p.samples(f)...), tight)
	s := style{number, f.style(15).size, black}
	f.number = f.set([]span{{unbroken(tidy(f.p.Number)), s}}, 0, even(f.w-2*packetPad), setting{display, 0})
}

func (f *packetFit) write(spans []span, leading float64) {
	y := packetPad + heightOf(f.lines)
	f.lines = append(f.lines, f.set(spans, y, f.room, setting{leading, 0})...)
}

func (f *packetFit) event() string {
	if f.without(EventLine) || f.p.Event == "" {
		return ""
	}
	return " · " + f.p.Event
}

// named is the name in italics with its author upright, and who says so.
func (f *packetFit) named() {
	large := f.style(14)
	if len(f.p.Names) == 0 {
		text := f.p.Group
		if text == "" {
			text = f.run.Say.Say("printing.packet.unnamed")
		}
		f.write([]span{{text, large}}, display)
	}
	for i, n := range f.p.Names {
		var spans []span
		if i > 0 {
			spans = append(spans, span{f.run.Say.Say("printing.card.or") + " ", f.style(9)})
		}
		if f.without(AuthorLine) {
			n = n.withoutAuthor()
		}
		f.write(append(spans, n.spans(large.bold(), f.style(10))...), display)
	}
	var det []string
	if f.p.Determiner != "" {
		det = append(det, f.run.Say.Say("printing.packet.det")+" "+f.p.Determiner)
	}
	f.write(f.facts(f.style(9.5), append(det, f.p.Determined)...), tight)
}

// longestKept is how long a fact may be that is kept in one line.
const longestKept = 28

// facts joins what there is.
func (f *packetFit) facts(s style, facts ...string) []span {
	var there []string
	for _, fact := range facts {
		if len(fact) <= longestKept {
			fact = unbroken(fact)
		}
		if fact != "" {
			there = append(there, fact)
		}
	}
	if len(there) == 0 {
		return nil
	}
	return []span{{strings.Join(there, " · "), s}}
}

// origin is where it grew.
func (p Packet) origin(f *packetFit) (facts []string) {
	facts = append(facts, p.place(f))
	if p.Substrate != "" && !f.without(HostLine) {
		facts = append(facts, f.run.Say.Say("printing.packet.on", "substrate", p.Substrate))
	}
	if p.Host != "" && !f.without(HostLine) {
		facts = append(facts, f.run.Say.Say("printing.packet.with", "host", p.Host))
	}
	if !f.without(HabitatLine) {
		facts = append(facts, p.Habitat)
	}
	return facts
}

// place is where it was found as far as the public may know: its name, or the middle of a square.
func (p Packet) place(f *packetFit) string {
	if p.Place.GeneralisedM() == 0 {
		return p.Place.Name()
	}
	lat, lon, uncertainty, ok := p.Place.Point()
	if !ok {
		return f.run.Say.Say("printing.packet.place.withheld")
	}
	return f.run.Say.Say("printing.packet.place.near", "km", strconv.Itoa((uncertainty+999)/1000), "lat", degrees(lat), "lon", degrees(lon))
}

// degrees to two decimals, a kilometre: as fine as any square that a place is moved to.
func degrees(d float64) string { return strconv.FormatFloat(d, 'f', 2, 64) }

// gathered is who found it, under which own number, and when.
func (p Packet) gathered(f *packetFit) (facts []string) {
	if p.Collector != "" {
		facts = append(facts, f.run.Say.Say("printing.packet.leg")+" "+p.Collector)
	}
	if p.OwnNumber != "" {
		facts = append(facts, f.run.Say.Say("printing.packet.own", "number", p.OwnNumber))
	}
	if p.Found != "" {
		facts = append(facts, f.run.Say.Say("printing.packet.found", "date", p.Found))
	}
	return facts
}

func (p Packet) samples(f *packetFit) (facts []string) {
	if !f.without(TissueLine) {
		facts = append(facts, p.Tissues...)
	}
	if !f.without(SequenceLine) {
		facts = append(facts, p.Sequences...)
	}
	return facts
}
