package printing

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"forayhall/internal/foray"
)

func samplePackets() []Packet {
	lat, lon := 54.0717, -2.1846
	open := foray.ExactPlace{Name: "Hollin Wood", Latitude: &lat, Longitude: &lon, UncertaintyM: 50}.Public()
	hidden := foray.ExactPlace{Name: "The Secret Clough", Latitude: &lat, Longitude: &lon, UncertaintyM: 50, GridM: 10000, Sensitive: true}.Public()
	return []Packet{
		{Number: "HB26 0417", Names: []Name{{{"Amanita phalloides", true}, {" (Vaill. ex Fr.) Link", false}}}, Determiner: "Bartosz Wójcik", Determined: "24 October 2026",
			Collector: "Ines Okafor", OwnNumber: "Okafor 1204", Found: "24 October 2026", Place: open, Host: "Quercus robur", Substrate: "soil", Habitat: "oak wood on a slope",
			Accessions: []string{"DCM F-000123"}, Tissues: []string{"tissue P3-A04"}, Sequences: []string{"ITS XX000123 (invented archive)"}, Event: "Autumn foray 2026", Code: "HB26-0417-X"},
		{Number: "HB26 0418", Names: []Name{{{"Russula", true}, {" cf. ", false}, {"emetica", true}, {" (Schaeff.) Pers.", false}}}, Determiner: "Łucja Ćwik", Determined: "2026",
			Collector: "Đặng Thị Hồng", Found: "24 October 2026", Place: hidden, Substrate: "leaf litter", Event: "Autumn foray 2026", Code: "HB26-0418-Y"},
		{Number: "HB26 0419a", Group: "small brown agaric", Found: "24 October 2026", Event: "Autumn foray 2026", Code: "HB26-0419A-Z"},
		{Number: "HB26 0420", Names: []Name{{{"Hygrophoropsis aurantiaca", true}, {" var. ", false}, {"macrospora", true}, {" (D.A. Reid) Kuyper", false}}, {{"Omphalotus illudens", true}, {" (Schwein.) Bresinsky & Besl", false}}},
			Collector: "Σοφία Νικολάου", OwnNumber: "Νικολάου 12", Found: "October 2026", Place: open, Host: "Picea abies", Substrate: "woody debris", Habitat: "a plantation with much fallen wood, beside the upper ride where the beck crosses",
			Tissues: []string{"tissue P3-A05", "tissue P3-A06"}, Event: "Autumn foray 2026", Code: "HB26-0420-W"},
	}
}

func packetBytes(t testing.TB, packets []Packet, run PacketRun, name string) ([]byte, Report) {
	t.Helper()
	run.Title, run.Owner, run.At = "Packets", "Hollinbeck Fungus Society", made
	var b bytes.Buffer
	report, err := Packets(&b, packets, run)
	if err != nil {
		t.Fatal(err)
	}
	keepShot(t, b.Bytes(), "packets-"+name)
	return b.Bytes(), report
}

// Would catch a line that is left out without being told, a number that is taken for another, and a hidden place.
func TestPacketsSayEverythingThatIsNotReportedAsLeftOut(t *testing.T) {
	packets := samplePackets()
	for _, s := range everyStock() {
		pdf, report := packetBytes(t, packets, PacketRun{Stock: s}, strings.NewReplacer(" ", "", ",", "", "/", "").Replace(s.Name))
		text := strings.Join(pagesOf(t, pdf), " ")
		for _, p := range packets {
			var without []Line
			for _, r := range report.Cards {
				if r.Number == p.Number {
					if without = r.Dropped; r.Unfit {
						without = append(slices.Clone(without), "unfit")
					}
				}
			}
			p.checkSaid(t, s.Name, text, without)
		}
		if strings.Contains(text, "Secret") || strings.Contains(text, "54.0717") || strings.Contains(text, "54.071") {
			t.Errorf("%s tells a hidden place", s.Name)
		}
		if s.CardH > 60 && len(report.Cards) > 0 {
			t.Errorf("%s leaves something out: %+v", s.Name, report.Cards)
		}
	}
}

func (p Packet) checkSaid(t *testing.T, stock, text string, without []Line) {
	t.Helper()
	want := func(l Line, facts ...string) {
		for _, fact := range facts {
			if !slices.Contains(without, l) && !slices.Contains(without, Line("unfit")) && !strings.Contains(text, oneSpace(fact)) {
				t.Errorf("%s: packet %s does not say %q", stock, p.Number, fact)
			}
		}
	}
	if !strings.Contains(text, p.Number) {
		t.Errorf("%s: packet %s has no number", stock, p.Number)
	}
	for _, n := range p.Names {
		want("", n.withoutAuthor().String())
		want(AuthorLine, n.String())
	}
	want("", p.Accessions...)
	want("", p.Determiner, p.Collector, p.OwnNumber, p.Found, p.Place.Name())
	want(HabitatLine, p.Habitat)
	want(HostLine, p.Host, p.Substrate)
	want(TissueLine, p.Tissues...)
	want(SequenceLine, p.Sequences...)
	want(EventLine, p.Event)
}

// Would catch a label that does not stand on the packet's face, a face of another size, and a code that is not read.
func TestAFoldedPacketBearsItsLabelOnAFaceOf150By100(t *testing.T) {
	for _, size := range []Size{A4, Letter} {
		w, h := size.mm()
		f := foldOf(w, h)
		if got := f.right - f.left; got < 149.9 || got > 150.1 {
			t.Errorf("%s: %.1f mm wide", size, got)
		}
		if got := f.bottom - f.top; got < 99.9 || got > 100.1 {
			t.Errorf("%s: %.1f mm high", size, got)
		}
		lower, upper := h-f.bottom, f.top
		if lower > packetH || upper > packetH || lower < 0.85*packetH || upper < 0.5*packetH || f.left < 20 {
			t.Errorf("%s: the lower part is %.1f mm, the upper %.1f, the sides %.1f", size, lower, upper, f.left)
		}
		packets := samplePackets()
		pdf, report := packetBytes(t, packets, PacketRun{Fold: size}, "folded-"+string(size))
		if report.Pages != len(packets) || len(report.Cards) > 0 {
			t.Errorf("%s: %+v", size, report)
		}
		file := stored(t, pdf)
		for i, p := range packets {
			if got := scanned(t, file, i, f.left, f.top, packetW, packetH); !slices.Equal(got, []string{p.Code}) {
				t.Errorf("%s: on packet %d is read %v", size, i, got)
			}
			p.checkSaid(t, string(size), pagesOf(t, pdf)[i], nil)
		}
	}
}
