package printing

import (
	"testing"

	"forayhall/internal/fault"
	"forayhall/internal/message"
	"pgregory.net/rapid"
)

// Whatever people type, nothing panics, nothing is drawn outside its page or card, and nothing overlaps.

var (
	anyText = rapid.StringOfN(rapid.RuneFrom([]rune("aemimW ił Żσß.-/ 漢🍄\u0301\u00A0\n→")), 0, 160, -1)
	anyWord = rapid.StringOfN(rapid.RuneFrom([]rune("aeimW-ł0")), 1, 40, -1)
	anyName = rapid.Custom(func(t *rapid.T) Name {
		return Name{{anyText.Draw(t, "name"), true}, {" " + anyText.Draw(t, "author"), false}}
	})
	anyState = rapid.SampledFrom([]State{BroughtIn, Provisional, Confirmed, Disputed, "brought in", "not_fungus", "", "else"})
	anyPlate = rapid.Custom(func(t *rapid.T) Plate {
		return Plate{anyWord.Draw(t, "number"), rapid.SampledFrom([]string{"", "1", "12"}).Draw(t, "table"), anyState.Draw(t, "state")}
	})
	anyDegree = rapid.IntRange(-1, 6)
	anyTongue = rapid.SampledFrom([]string{message.English, message.Pseudo})
)

func TestSheet_of_any_texts_stays_on_its_pages(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySheet(t)
		p := Paper{Size: rapid.SampledFrom([]Size{A4, Letter}).Draw(t, "size"), Large: rapid.Bool().Draw(t, "large"), Say: message.For(anyTongue.Draw(t, "language"))}
		c, err := newCanvas(p.Size.mm())
		if err != nil {
			t.Fatal(err)
		}
		marks := watch(c)
		if err := drawSheet(c, s, p); fault.Is(err, fault.Refused) {
			return
		} else if err != nil {
			t.Fatal(err)
		}
		w, h := p.Size.mm()
		inside(t, *marks, edge, edge-1, w-2*edge, h-2*edge+2)
		nothingOverlaps(t, *marks)
	})
}

func anySheet(t *rapid.T) WarningSheet {
	plates := func() []Plate { return rapid.SliceOfN(anyPlate, 0, 30).Draw(t, "plates") }
	text := func() string { return anyText.Draw(t, "text") }
	s := WarningSheet{Society: text(), Event: text(), Code: anyWord.Draw(t, "code"), Place: text(), Made: text(), Version: text(), Final: rapid.Bool().Draw(t, "final"),
		Contact: Contact{text(), text(), text(), text(), text(), text(), text()}, Live: rapid.SampledFrom([]string{"", "https://hall.example.org/a/b"}).Draw(t, "live")}
	for range rapid.IntRange(0, 6).Draw(t, "here") {
		l := HereLine{Name: anyName.Draw(t, "name"), Common: text(), Severity: anyDegree.Draw(t, "severity"), Syndrome: text(), Plain: text(), Plates: plates(), Signs: text(), Contested: text()}
		for range rapid.IntRange(0, 20).Draw(t, "taken") {
			l.Taken = append(l.Taken, Taken{anyName.Draw(t, "gathered"), text(), text()})
		}
		s.Here = append(s.Here, l)
	}
	for range rapid.IntRange(0, 3).Draw(t, "wide") {
		s.Wide = append(s.Wide, WideLine{Name: anyName.Draw(t, "name"), Plates: plates(), Worst: Member{anyName.Draw(t, "worst"), anyDegree.Draw(t, "severity"), text()}, OutOfRegion: true})
	}
	for range rapid.IntRange(0, 5).Draw(t, "doubles") {
		s.Doubles = append(s.Doubles, DoubleLine{Gathered: anyName.Draw(t, "gathered"), Plates: plates(), Poisonous: anyName.Draw(t, "poisonous"), Here: plates(), Differences: text()})
	}
	s.Nameless = plates()
	return s
}

func TestCards_of_any_texts_stay_within_their_cards(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stock := rapid.SampledFrom(everyStock()).Draw(t, "stock")
		card := anyCard(t)
		c, err := newCanvas(stock.PageW, stock.PageH)
		if err != nil {
			t.Fatal(err)
		}
		marks := watch(c)
		run := runOn(stock)
		run.Say = message.For(anyTongue.Draw(t, "language"))
		if _, err := drawCards(c, []Card{card}, run); err != nil {
			t.Fatal(err)
		}
		insideCards(t, *marks, stock)
		nothingOverlaps(t, *marks)
	})
}

func anyCard(t *rapid.T) Card {
	text := func() string { return anyText.Draw(t, "text") }
	c := Card{Number: anyWord.Draw(t, "number"), Names: rapid.SliceOfN(anyName, 0, 5).Draw(t, "names"), Group: text(), Common: text(), Current: anyName.Draw(t, "current"),
		Family: text(), State: anyState.Draw(t, "state"), Notice: text(), Collector: text(), Place: text(), Host: text(), Substrate: text(), Determiner: text(),
		Link: rapid.SampledFrom([]string{"", "https://hall.example.org/hollinbeck/hb26/find/0417"}).Draw(t, "link")}
	if rapid.Bool().Draw(t, "hazard") {
		c.Hazard = &Hazard{anyDegree.Draw(t, "severity"), text()}
	}
	for range rapid.IntRange(0, 4).Draw(t, "doubles") {
		c.Doubles = append(c.Doubles, CardDouble{anyName.Draw(t, "double"), rapid.SampledFrom([]string{"", "3"}).Draw(t, "table")})
	}
	return c
}
