package view

import (
	"time"

	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

func stateCountsSample() []StateCount {
	list := make([]StateCount, len(Namings))
	for i, n := range Namings {
		list[i] = StateCount{State: n, N: []int{31, 52, 4, 168, 6, 1}[i], Path: foray26.Collections() + "?state=" + string(n)}
	}
	return list
}

func listSample(version int, staff bool) List {
	dryad := SciName{Name: "Cerioporus squamosus", Author: "(Huds.) Quél.", Rank: taxon.Species}
	line := func(name SciName, common string, h *Hazard) ListLine {
		return ListLine{Name: name, Common: Common{Name: common}, State: Confirmed, Collections: []Number{number("0113"), number("0226")},
			Fields: 3, Sites: []string{"Withy Clough", "Beck Side"}, Determiners: []string{"Ines Okafor"}, Hazard: h, Counts: true}
	}
	scaly := line(dryad, "dryad’s saddle", unknown)
	scaly.Determined = []SciName{{Name: "Polyporus squamosus", Author: "(Huds.) Fr.", Rank: taxon.Species}}
	scaly.Firsts, scaly.Vouchers, scaly.Photographs = []message.Text{T("list.running")}, 1, 2
	rosy := line(rosella, "", unknown)
	rosy.Fields = 1
	russet := ListLine{Name: SciName{Name: "Russula emetica var. silvestris", Author: "Singer", Rank: taxon.Variety, Qualifier: taxon.Affinis, Position: taxon.Variety},
		State: Provisional, Collections: []Number{number("0301")}, Sites: []string{"Beck Side"}, Hazard: ill, Why: T("apart.aff.why")}
	dis := ListLine{Name: phall, Common: Common{Name: "deathcap"}, State: Disputed, Collections: []Number{number("0417")}, Sites: []string{"Withy Clough"}, Hazard: deadly}
	l := List{Layout: around("list.title", staff, foray26.Running()), Version: version, AsOf: noon, Rule: T("list.rule"), Total: 5,
		Totals: []ListTotal{{"basidiomycetes", 4}, {"ascomycetes", 1}, {"slime-moulds", 0}},
		Groups: []ListGroup{{ListTotal: ListTotal{"basidiomycetes", 4}, ID: "list-1", Lines: []ListLine{line(edulis, "penny bun", unknown), scaly, rosy, line(rubellus, "deadly webcap", kidneys)}},
			{ListTotal: ListTotal{"ascomycetes", 1}, ID: "list-2", Lines: []ListLine{line(SciName{Name: "Peziza badia", Author: "Pers.", Rank: taxon.Species}, "bay cup", ill)}}},
		Pick: ListPick{Action: foray26.Running(), Orders: []Option{{Value: "name", Text: T("list.order.name")}}, Groups: []Option{{Value: "lichens", Text: T("kingdom.lichens")}},
			Marks: []Option{{Value: "first", Text: T("list.mark.first")}}, Sites: []Option{{Value: "BS", Label: "Beck Side"}}, Days: []Option{{Value: "2026-10-24", Label: "24 October 2026"}}, Find: "bol", Shown: 5, Of: 9, All: foray26.Running()},
		Apart: []ListApart{{Key: "disputed", Lines: []ListLine{dis}}, {Key: "aff", Lines: []ListLine{russet}}},
		CSV:   foray26.Running() + ".csv", JSON: foray26.Running() + ".json"}
	if version > 0 {
		l.By, l.Digest = "Wanjiru Castell", "5f70bf18a086007016e948b04aed3b82103a36bea41755b6cddfaf10ace3c6ef"
		l.Versions = []Version{{N: 1, At: noon, By: "Wanjiru Castell", Taxa: 132, Path: foray26.Version(1)}}
	}
	return l
}

func tablesSample() Tables {
	p := func(pos, digits string, name SciName, common string, s Naming, h *Hazard, size string) Plate {
		return Plate{Position: pos, Number: number(digits), Name: name, Common: Common{Name: common}, State: s, Hazard: h, Size: size}
	}
	return Tables{Layout: around("tables.title", false, foray26.Tables()), AsOf: noon, Tables: []Table{
		{Key: "table-3", Name: "Table 3", About: "Boletes", Plates: []Plate{p("A1", "0226", edulis, "penny bun", Confirmed, unknown, "tray"),
			p("A2", "0231", SciName{Name: "Xerocomellus", Author: "Šutara", Rank: taxon.Genus, Qualifier: taxon.OnlyGenus}, "", Confirmed, ill, "plate"),
			p("A3", "0240", SciName{Name: "Leccinum scabrum", Author: "(Bull.) Gray", Rank: taxon.Species}, "brown birch bolete", Provisional, unknown, "plate"),
			{Position: "B1", Number: number("0251"), Group: "bolete", State: BroughtIn, Size: "side", Hazard: unknown, CardOld: true}}},
		{Key: "table-14", Name: "Table 14", About: "Behind the rail", Hazards: true,
			Plates:  []Plate{p("", "0417", phall, "deathcap", Disputed, deadly, "plate"), p("", "0330", rubellus, "deadly webcap", Confirmed, kidneys, "plate")},
			Doubles: []Double{{At: number("0288"), Name: phall, Hazard: deadly, StandsOn: "Table 3", StandsKey: "table-3"}, {At: number("0289"), Name: rubellus, Hazard: kidneys}}},
	}}
}

func sheetSample(tested bool) Sheet {
	onset := message.T("hazard.onset.unknown")
	s := Sheet{Layout: around("sheet.title", false, foray26.Warnings()), Place: "Hollinbeck Hall", AsOf: noon, Revision: "7c1f",
		Contact: Contact{Name: "Poisons desk of the county", Phone: "01632 960 417", Hours: "day and night", TypedBy: "Rosalind Achterberg", TypedAt: noon.Add(-26 * time.Hour)},
		Blocks: []SheetBlock{
			{Key: "a", Lines: []SheetLine{{Name: rubellus, Common: Common{Name: "deadly webcap"}, Where: []SheetPlace{{number("0330"), foray26.Find("0330"), "Table 14", Confirmed}},
				Hazard: *kidneys, Syndrome: "Orellanine", Plain: "Destroys the kidneys, days or weeks after the meal.", Onset: onset,
				MistakenFor: []SheetPair{{Gathered: SciName{Name: "Craterellus tubaeformis", Author: "(Fr.) Quél.", Rank: taxon.Species}, Common: Common{Name: "trumpet chanterelle"},
					Differences: "true gills and a rusty print, against blunt forking veins"}}, Source: "common practice"}}},
			{Key: "b", Lines: []SheetLine{
				{Name: phall, Common: Common{Name: "deathcap"}, Where: []SheetPlace{{number("0417"), foray26.Find("0417"), "", Disputed}}, Hazard: *deadly, Syndrome: "Amatoxin",
					Plain: "Sickness, then a day that seems better while the liver fails.", Onset: onset},
				{Name: little, Where: []SheetPlace{{Number{"HB26", "0137", "a"}, foray26.Find("0137a"), "Table 7", Provisional}, {number("0142"), foray26.Find("0142"), "", BroughtIn}}, Hazard: *deadly, Syndrome: "Amatoxin",
					Onset: onset, Via: message.T("hazard.via.form"), Matched: "Galerina marginata", OutOfRegion: true, Nearer: "Lepiota cristata"}}},
		},
		Doubles: []SheetGathered{{Name: edulis, Common: Common{Name: "penny bun"}, Where: []SheetPlace{{number("0226"), foray26.Find("0226"), "Table 3", Confirmed}},
			Doubles: []SheetDouble{{Poisonous: SciName{Name: "Rubroboletus satanas", Author: "(Lenz) Kuan Zhao & Zhu L. Yang", Rank: taxon.Species}, Hazard: *muscle, Differences: "red pores, blueing when cut"}},
			Also:    []SheetDouble{{Poisonous: SciName{Name: "Tylopilus felleus", Rank: taxon.Species}, Hazard: *muscle}}}},
		Nameless: []SheetPlace{{number("0151"), foray26.Find("0151"), "Table 1", BroughtIn}, {number("0152"), foray26.Find("0152"), "", BroughtIn}},
		Eaten:    []message.Text{message.T("hazard.eaten.call-now"), message.T("hazard.eaten.keep")},
		Lacks:    []message.Text{message.T("hazard.sheet.untested")},
		NoEntry:  []SheetLine{{Name: rosella, Where: []SheetPlace{{number("0113"), foray26.Find("0113"), "Table 2", Provisional}}}}}
	if tested {
		s.Contact.TestedBy, s.Contact.TestedAt = "Rosalind Achterberg", noon.Add(-5*time.Hour)
	}
	return s
}

func setupSample() Setup {
	return Setup{Layout: around("setup.title", true, foray26.Setup()), Contact: sheetSample(false).Contact, Parts: partSample("").Parts,
		Missing: []Missing{{Text: message.T("setup.lacks.contact-test"), Path: foray26.SetupPart("contact") + "#form"}},
		Facts:   []SetupFact{{Key: "sites", N: 1}, {Key: "tables", N: 14}}, Close: foray26.Close(), Next: "/hollinbeck/events/new?from=HB26"}
}

func samples() []sample {
	start := Start{Layout: around("start.heading", false, "/"), Events: []EventCard{
		{Path: foray26.Path, Code: "HB26", Name: foray26.Name, Society: "Hollinbeck Fungus Society", Place: "Hollinbeck Hall", From: noon, To: noon.Add(24 * time.Hour), Open: true},
		{Path: "/hollinbeck/HB25", Code: "HB25", Name: "Autumn foray 2025", Society: "Hollinbeck Fungus Society", Place: "Hollinbeck Hall", From: noon.AddDate(-1, 0, 1), Version: 2}}}
	start.Layout.Event, start.Layout.Nav = Event{}, nil
	signIn := SignIn{Layout: around("sign-in.title", false, "/sign-in"), Form: Form{Action: "/sign-in", Command: "019ac2f0-0000-7000-8000-000000000004"}, Name: "ines", SignedOut: true}
	landing := Landing{Layout: around("nav.event", false, foray26.Path), Place: "Hollinbeck Hall", From: noon, About: "Six walks, one hall, two days.", Open: true, AsOf: noon,
		Collections: 262, Taxa: 132, Tables: 14, Warned: 23, Versions: []Version{{N: 1, At: noon, By: "Wanjiru Castell", Taxa: 132, Path: foray26.Version(1)}},
		Recent: []Recent{{Name: phall, Common: Common{Name: "deathcap"}, State: Disputed, Hazard: deadly, Number: number("0417"), Table: "Table 14"},
			{Name: rosella, State: Confirmed, Hazard: unknown, Number: number("0113")}}}
	hall := Hall{Layout: around("hall.title", true, foray26.Hall()), AsOf: noon, Counts: stateCountsSample(), Next: &rows()[1], Waiting: 61, NoContact: true, Recent: rows()[:1],
		Jobs: []message.Text{T("where.exactly", "place", "Table 7", "detail", "0417", "position", "card")}}
	for _, key := range []string{"intake", "queue", "collections", "tables", "list", "publish", "warnings", "setup"} {
		hall.Tasks = append(hall.Tasks, Task{Key: key, Path: foray26.Hall(), Count: len(key) % 3 * 20})
	}
	queue := Queue{Layout: around("queue.title", true, foray26.Queue()), AsOf: noon, Fits: []string{"ring_and_sack", "inkcap"}, Rows: rows(),
		Parts:  []QueuePart{{Path: foray26.Queue(), Count: 12, Here: true}, {Key: "all", Path: foray26.Queue() + "?show=all", Count: 61}, {Key: "disputes", Path: foray26.Queue() + "?show=disputes", Count: 1}},
		Groups: GroupsForm{Form: form(FormGroups, 0), Groups: Options("group", Groups, "inkcap")}, Many: &ManyForm{Form: form(FormMany, 0), Name: "Mycena pura", Names: foray26.Names(), Bases: Options("basis", Bases, "macroscopic")}}
	queue.Rows[0].Why, queue.Rows[0].Pick, queue.Rows[0].Picked = queue.Rows[0].WhyHere(true, true), true, true
	queue.Answers = []SignedLine{{Written: "0417 Mycena pura", Outcome: "signed", Number: number("0417"), Path: foray26.Collection("0417")},
		{Written: "0418 Mycena pura", Outcome: "overtaken", Why: message.T("slip.overtaken", "number", "0418"), Theirs: "Mycena rosea", By: "Ines Okafor"}}
	scribe, choose := scribeSample(), scribeSample()
	choose.For = ""
	done := WalkDone{Layout: around("queue.title", true, ""), Table: "3 Boletes", Seen: 14, Again: foray26.Walk(3), Back: foray26.Tables(), Undo: &UndoForm{Form: form(FormStrike, 3), Slip: "s4", Number: number("0417")}}
	all := Collections{Layout: around("collections.title", true, foray26.Collections()), Filter: Provisional, Counts: stateCountsSample(), Total: 262, All: foray26.Collections(), Rows: rows(), More: foray26.Collections() + "?after=0398"}
	publish := Publish{Layout: around("publish.title", true, foray26.Publish()), Form: form("publish", 3), Next: 1, List: listSample(0, true), Ready: true, Signer: "Wanjiru Castell",
		Missing: []Missing{{Text: T("state.disputed"), Path: foray26.Collections(), Blocks: true}, {Text: T("queue.unnamed")}}}
	problem := Problem{Layout: around("problem.not-found", false, ""), Kind: "not-found", Text: message.T("fault.not-found"), Back: foray26.Path, Kept: []Fact{{Key: "name", Value: "Amanita phalloides"}}}
	intake, refused, coll, conf := intakeSample(), intakeRefused(), collectionSample(), conflictSample()
	running, version, tables := listSample(0, false), listSample(1, false), tablesSample()
	draft, final, setup := sheetSample(false), sheetSample(true), setupSample()
	return append([]sample{
		{"start", StartPage(start), start, true}, {"sign-in", SignInPage(signIn), signIn, false}, {"landing", LandingPage(landing), landing, true},
		{"hall", HallPage(hall), hall, false}, {"intake", IntakePage(intake), intake, false}, {"intake-refused", IntakePage(refused), refused, false},
		{"collection", CollectionPage(coll), coll, false}, {"conflict", CollectionPage(conf), conf, false}, {"scribe", ScribePage(scribe), scribe, false}, {"scribe-choose", ScribePage(choose), choose, false}, {"walk-done", WalkDonePage(done), done, false}, {"queue", QueuePage(queue), queue, false},
		{"collections", CollectionsPage(all), all, false}, {"tables", TablesPage(tables), tables, true}, {"list", ListPage(running), running, true},
		{"list-version", ListPage(version), version, true}, {"publish", PublishPage(publish), publish, false}, {"warnings", SheetPage(draft), draft, true},
		{"warnings-final", SheetPage(final), final, true}, {"setup", SetupPage(setup), setup, false}, {"problem", ProblemPage(problem), problem, false},
	}, append(setupSamples(), earlierSamples()...)...)
}
