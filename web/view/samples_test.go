package view

import (
	"time"

	"github.com/a-h/templ"

	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

// sample is a page filled with invented people, places and plates, and real fungi.
type sample struct {
	name   string
	page   templ.Component
	data   any
	public bool
}

var (
	noon     = time.Date(2026, 10, 3, 15, 40, 0, 0, time.FixedZone("BST", 3600))
	foray26  = Event{Code: "HB26", Name: "Autumn foray at Hollinbeck Hall", Path: "/hollinbeck/HB26"}
	phall    = SciName{Name: "Amanita phalloides", Author: "(Vaill. ex Fr.) Link", Rank: taxon.Species}
	equestre = SciName{Name: "Tricholoma equestre", Author: "(L.) P. Kumm.", Rank: taxon.Species, Qualifier: taxon.Confer, Position: taxon.Species}
	rubellus = SciName{Name: "Cortinarius rubellus", Author: "Cooke", Rank: taxon.Species}
	rosella  = SciName{Name: "Mycena rosella", Author: "(Fr.) P. Kumm.", Rank: taxon.Species}
	edulis   = SciName{Name: "Boletus edulis", Author: "Bull.", Rank: taxon.Species}
	little   = SciName{Name: "small brown agaric", Rank: taxon.Form}
	deadly   = &Hazard{Severity: 5, Syndrome: "Amatoxin"}
	kidneys  = &Hazard{Severity: 5, Syndrome: "Orellanine"}
	ill      = &Hazard{Severity: 2, Syndrome: "Stomach and gut"}
	muscle   = &Hazard{Severity: 3, Syndrome: "Muscle breakdown"}
	unknown  = &Hazard{}
)

func number(digits string) Number { return Number{Code: "HB26", Digits: digits} }

func form(key string, version int64) Form {
	return Form{Action: foray26.Collection("0417") + "/" + key, Command: "019ac2f0-0000-7000-8000-000000000001", BaseVersion: version}
}

func around(title string, staff bool, here string) Layout {
	l := Layout{Title: T(title), Assets: Assets{Style: "/static/hall.css", Names: "/static/names.js"},
		Society: Society{Name: "Hollinbeck Fungus Society", Path: "/hollinbeck"}, Event: foray26, Here: here, SignIn: "/sign-in",
		NamesFungi: true, Nav: PublicNav(foray26)}
	if staff {
		l.Person = &Person{Name: "Ines Okafor", Roles: []message.Text{RoleText("identifier"), RoleText("desk")}}
		l.SignOut = Form{Action: "/sign-out", Command: "019ac2f0-0000-7000-8000-000000000002"}
		l.Nav = StaffNav(foray26, May{Log: true, FieldName: true, SignOff: true, Place: true, Hazards: true, Publish: true, SetUp: true})
		l.Nav[2].Count = 61
	}
	return l
}

func inQuestionSample() []InQuestion {
	return []InQuestion{
		{Name: phall, Common: Common{Name: "deathcap"}, Hazard: deadly, By: []string{"Tomasz Lindqvist"}, Rank: 1, Kind: SlipFieldName, Key: "Amanita phalloides"},
		{Name: equestre, Common: Common{Name: "yellow tricholoma", Borrows: &Borrow{Part: "tricholoma", Genus: "Tricholoma", Relation: "current"}},
			Hazard: muscle, By: []string{"Tomasz Lindqvist", "Mei Adeyemi"}, Rank: 2, Kind: SlipFieldName, Key: "Tricholoma cf. equestre"},
	}
}

func rows() []QueueRow {
	soon, later, past := 40*time.Minute, 5*time.Hour+10*time.Minute, -25*time.Minute
	return []QueueRow{
		{Number: number("0417"), Path: foray26.Collection("0417"), Group: "ring_and_sack", State: Provisional, Names: inQuestionSample(), Hazard: deadly,
			SpoilsIn: &later, Waiting: 95 * time.Minute, Where: Where{Place: "bench", Detail: "Ines Okafor"}, Marks: []Mark{{"no-base"}}},
		{Number: number("0402"), Path: foray26.Collection("0402"), Group: "inkcap", State: BroughtIn, Hazard: unknown, SpoilsIn: &past,
			Waiting: 3 * time.Hour, Where: Where{Place: "desk"}, Marks: []Mark{{"incomplete"}}},
		{Number: Number{Code: "HB26", Digits: "0137", Suffix: "a"}, Path: foray26.Collection("0137a"), Group: "small_brown", State: Disputed, SpoilsIn: &soon,
			Names: []InQuestion{{Name: SciName{Name: "Galerina marginata", Author: "(Batsch) Kühner", Rank: taxon.Species}, Hazard: deadly, Kind: SlipSignOff},
				{Name: little, Hazard: deadly, Kind: SlipDissent}}, Hazard: deadly, Waiting: 20 * time.Minute, Where: Where{Place: "table", Detail: "Table 7", Position: "C2"}},
		{Number: number("0398"), Path: foray26.Collection("0398"), Group: "bracket", State: Confirmed, Names: []InQuestion{{Name: SciName{Name: "Fomes fomentarius", Author: "(L.) Fr.", Rank: taxon.Species},
			Common: Common{Name: "hoof fungus"}, Hazard: unknown, Kind: SlipSignOff}}, Hazard: unknown, Waiting: 4 * time.Hour, Where: Where{Place: "dryer", Detail: "tray 4"}},
	}
}

func slipsSample() []Slip {
	current := SciName{Name: "Paralepistopsis amoenolens", Author: "(Malençon) Vizzini", Rank: taxon.Species}
	return []Slip{
		{ID: "s4", Kind: SlipDissent, Determiner: "Ines Okafor", At: noon, Basis: "microscopy", Remarks: "Spores amyloid, 8.5 × 7 µm; a sack at the base.", Unsettled: true,
			Names: []SlipName{{Rank: 1, Name: phall, Common: Common{Name: "deathcap"}, Hazard: deadly}}, Strike: &StrikeForm{Form: form(FormStrike, 4)}},
		{ID: "s3", Kind: SlipSignOff, Determiner: "Aurelio Brandt", Writer: "Mei Adeyemi", At: noon.Add(-20 * time.Minute), Basis: "macroscopic",
			Names: []SlipName{{Rank: 1, Name: equestre, Verbatim: "Tricholoma cf flavovirens", Hazard: muscle}}},
		{ID: "s2", Kind: SlipSignOff, Determiner: "Mei Adeyemi", At: noon.Add(-40 * time.Minute), Basis: "comparison",
			Names:  []SlipName{{Rank: 1, Name: SciName{Name: "Clitocybe amoenolens", Author: "Malençon", Rank: taxon.Species}, Current: &current, Hazard: muscle}},
			Struck: &Struck{By: "Mei Adeyemi", At: noon.Add(-30 * time.Minute), Reason: "Slip laid to the wrong plate."}},
		{ID: "s1", Kind: SlipFieldName, Determiner: "Tomasz Lindqvist", At: noon.Add(-90 * time.Minute),
			Names: []SlipName{{Rank: 1, Name: phall, Reason: "ring, greenish cap", Hazard: deadly}, {Rank: 2, Name: equestre, Reason: "yellow gills?", Hazard: muscle}}},
	}
}

func collectionSample() Collection {
	left := 5*time.Hour + 10*time.Minute
	l := around("collection.title", true, "")
	l.Title = T("collection.title", "number", "0417")
	names := foray26.Names()
	asked := inQuestionSample()
	asked[0].Act, asked[1].Act = Act{Kind: "settle"}, Act{Kind: "dissent", Who: "Mei Adeyemi"}
	asked[0].Mixed = []Mixed{{Name: edulis, Hazard: unknown, Differences: "pores, not gills"}}
	return Collection{Layout: l, Number: number("0417"), Group: "ring_and_sack", State: Disputed, Version: 4,
		Where:  Where{Place: "bench", Detail: "Ines Okafor", Since: noon, By: "Mei Adeyemi"},
		Hazard: &Hazard{Severity: 5, Syndrome: "Amatoxin"}, Names: asked, Marks: []Mark{{"card-wrong"}},
		Facts: []Fact{{Key: "team", Value: "4"}, {Key: "site", Value: "Withy Clough"}, {Key: "collector", Value: "Tomasz Lindqvist"}, {Key: "picked", Value: "11:20"},
			{Key: "substrate", Text: T("substrate.soil")}, {Key: "host", Value: "Quercus, Corylus"}, {Key: "cooled", Text: T("yes")}},
		Noted: []Noted{{Character: T("character.odour"), Value: "sweetish, like old honey", By: "Tomasz Lindqvist", At: noon.Add(-80 * time.Minute)},
			{Character: T("character.cut_change"), Value: "none", Seconds: 60, By: "Mei Adeyemi", At: noon.Add(-70 * time.Minute)}},
		Slips: slipsSample(), SpoilsIn: &left,
		Decides: []Decides{{Character: "Base of the stem", States: []string{"in a sack", "plain"}, RulesOut: true},
			{Character: "Gills", States: []string{"white", "sulphur yellow"}}},
		Sign: &SignForm{Form: form(FormSign, 4), Kind: SlipSettles, Choices: inQuestionSample(), Choice: "Amanita phalloides", Names: names,
			Qualifiers: QualifierOptions(taxon.None), Bases: Options("basis", Bases, "macroscopic"), Self: "Ines Okafor",
			Determiners: []Option{{Value: "p1", Label: "Aurelio Brandt"}, {Value: "p2", Label: "Ines Okafor", Chosen: true}}},
		Agree:  &AgreeForm{Form: form(FormSign, 4), Name: asked[0], Bases: Options("basis", Bases, "microscopy"), Determiner: "p1", For: "Aurelio Brandt"},
		Photos: []Photo{{Small: "/photo/1/small", Full: "/photo/1", Width: 320, Height: 240, About: T("collection.photographs")}},
		Bar: &Bar{Where: T("bar.on-table", "at", 5, "of", 14, "table", "3 Boletes"), Later: true, Next: foray26.Walk(3), Looked: foray26.Walk(3), Before: foray26.Walk(3),
			Back: foray26.Tables(), BackTo: T("bar.to-tables")},
		Undo:      &UndoForm{Form: form(FormStrike, 4), Slip: "s4", Number: number("0417")},
		HandOn:    &HandOnForm{Form: form(FormPlace, 4), To: []Identifier{{Name: "Aurelio Brandt", Groups: []string{"webcap", "inkcap"}}, {Name: "Mei Adeyemi"}}},
		FieldName: &FieldNameForm{Form: form(FormFieldName, 0), Names: names},
		Nameless:  &NamelessForm{Form: form(FormNameless, 4)},
		Place: &PlaceForm{Form: form(FormPlace, 0), Places: Options("where", Places, "bench"),
			Tables: []Option{{Value: "t7", Label: "Table 7"}, {Value: "t14", Label: "Table 14"}}},
		Note: &NoteForm{Form: form(FormNote, 0), Stickiness: Options("stickiness", Stickiness, ""), Textures: Options("texture", Textures, "")},
	}
}

func scribeSample() Scribe {
	written := ScribeForm{Form: form(FormOne, 0), Number: "0417", Name: "Mycena pura", Names: foray26.Names(), Bases: Options("basis", Bases, "comparison"), Remarks: "radish", Lines: "0418 Mycena pura"}
	return Scribe{Layout: around("scribe.title", true, foray26.Scribe()), For: "Aurelio Brandt", ForID: "p1", Change: foray26.Scribe(), One: written, Several: written,
		Choose:  []Identifier{{Name: "Aurelio Brandt", Groups: []string{"webcap"}, Path: foray26.Scribe() + "?for=p1"}, {Name: "Mei Adeyemi", Path: foray26.Scribe() + "?for=p2"}},
		Answers: []SignedLine{{Written: "0419 Mycena pura", Outcome: "refused", Why: message.T("slip.dissent-needs-reason")}},
		Undo:    &UndoForm{Form: form(FormStrike, 4), Slip: "s4", Number: number("0416")}}
}

func conflictSample() Collection {
	c := collectionSample()
	c.Conflict = &Conflict{Text: message.T("slip.overtaken", "who", "Aurelio Brandt", "what", "Tricholoma cf. equestre"), Theirs: slipsSample()[1], Form: FormSign,
		Yours: []Fact{{Key: "name", Value: "Amanita phalloides"}, {Key: "basis", Text: T("basis.microscopy")}, {Key: "reason", Value: "a sack at the base"}}}
	c.Sign.Other, c.Sign.Clash = Act{Kind: "dissent", Who: "Aurelio Brandt"}, []Option{{Value: "written", Text: T("sign.meant.written", "name", "Amanita group")}}
	c.Sign.Kind, c.Sign.Against, c.Sign.Determiners, c.Sign.Choice, c.Sign.Name = SlipDissent, "Aurelio Brandt", nil, "other", "Amanita phaloides"
	c.Layout.Errors = Errors{Form: FormSign, Summary: message.T("fault.invalid"),
		Fields: map[string]message.Text{"remarks": message.T("slip.dissent-needs-reason"), "basis": message.T("slip.basis-missing")}}
	return c
}

func intakeSample() Intake {
	return Intake{Layout: around("intake.title", true, foray26.Intake()), Form: Form{Action: foray26.Intake(), Command: "019ac2f0-0000-7000-8000-000000000003"},
		Saved: &Saved{Number: number("0417"), Group: "ring_and_sack", At: noon, Path: foray26.Collection("0417"), Hazard: &Hazard{Severity: 5},
			Missing: []message.Text{T("fact.substrate"), T("fact.host")}},
		Code: "HB26", Number: "0418", NumberFrom: "0400", NumberTo: "0499",
		Teams: []Option{{Value: "t4", Label: "4", Chosen: true}, {Value: "t5", Label: "5"}}, Sites: []Option{{Value: "s1", Label: "Withy Clough", Chosen: true}},
		Collector: "Tomasz Lindqvist", People: []string{"Tomasz Lindqvist", "Mei Adeyemi"}, Picked: "2026-10-03T11:20",
		Substrates: Options("substrate", Substrates, ""), Growths: Options("growth", Growths, ""), Plates: Options("plate", Plates, "plate"), Group: "milkcap",
		Hosts: []Offer{{Value: "Quercus", Label: message.T("data.as-is", "text", "oak")}, {Value: "Betula", Label: message.T("data.as-is", "text", "birch")}}, Stickiness: Options("stickiness", Stickiness, ""), Textures: Options("texture", Textures, ""),
		Carried: []Carried{{Field: "team", Text: T("intake.carried.team", "team", "4"), Clear: foray26.Intake()}, {Field: "site", Text: T("intake.carried.site", "site", "Withy Clough"), Clear: foray26.Intake()},
			{Field: "collector", Text: T("intake.carried.collector", "collector", "Tomasz Lindqvist"), Clear: foray26.Intake()}}}
}

func intakeRefused() Intake {
	p := intakeSample()
	p.Saved, p.Group, p.Number = nil, "", "0417"
	p.Layout.Errors = Errors{Summary: message.T("fault.invalid"), Fields: map[string]message.Text{
		"number": message.T("number.taken", "number", "0417", "time", "14:05", "who", "Ines Okafor"), "group": T("intake.group")}}
	return p
}
