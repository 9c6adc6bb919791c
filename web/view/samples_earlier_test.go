package view

import (
	"time"

	"forayhall/internal/message"
)

func earlierSamples() []sample {
	badia, now := SciName{Name: "Boletus badius"}, SciName{Name: "Imleria badia", Author: "(Fr.) Vizzini"}
	withdraw := form(FormEarlierWithdrawn, 0)
	names := EarlierNames{Told: []EarlierName{{Written: "Boletus badius", Line: 2, Lines: 3, Read: &badia, Now: &now}}, More: 2}
	lists := SetupEarlier{Part: partSample("earlier"), Firsts: foray26.AllFirsts(),
		Lists: []EarlierRow{
			{ID: "l1", Title: "Fungi of Hollin Wood", Of: T("earlier.of.site", "place", "Hollin Wood"), Lines: []message.Text{T("earlier.fact.lines", "n", 180)}, Source: "Pugh 2020",
				Unknown: EarlierNames{Told: []EarlierName{{Written: "Inventaria nova", Line: 7, Lines: 1}}}, Path: foray26.EarlierList("l1"), Here: true, Withdraw: &EarlierWithdraw{Form: withdraw, List: "l1", Reason: "another edition", Open: true}},
			{ID: "l2", Title: "Older list", Of: T("earlier.of.society"), Source: "Pugh 1990", Gone: T("earlier.gone", "at", T("date.moment", "day", "3 October", "time", "09:10"), "who", "Ines Okafor"), Why: "another edition", Path: foray26.EarlierList("l2")}},
		Edit: &EarlierForm{Form: form(FormEarlier, 0), Title: "Fungi of Skelber", Source: "Pugh 2021", Scopes: Options("earlier.scope", []string{"site", "society", "record"}, "site"), Sites: []string{"HW", "Hollin Wood"}, MonthFirst: true, File: "skelber.csv", Carried: []EarlierCarried{{"named", "skelber.csv"}, {"carried", "H4sI"}}},
		Looked: &EarlierLook{Form: form(FormEarlier, 0), Carried: []EarlierCarried{{"title", "Fungi of Skelber"}}, Title: "Fungi of Skelber", Facts: []message.Text{T("earlier.looked.lines", "n", 5, "rows", 7)},
			Notes: []message.Text{message.T("archive.note-list-synonyms", "n", 1)}, Former: names, Spelt: names, Unknown: EarlierNames{Told: []EarlierName{{Written: "Inventaria nova", Line: 3, Lines: 1}}},
			Asked:   EarlierNames{Told: []EarlierName{{Written: "Boletus badus", Line: 9, Lines: 1, Read: &badia, ID: "take-1", Ticked: true}, {Written: "A. alba", Line: 10, Lines: 1, May: []SciName{badia, now}}}, More: 1},
			Refused: []EarlierRefused{{Line: 4, Column: "date", Value: "2098", Reason: message.T("archive.list-absent")}}},
		Open: &EarlierLines{Title: "Fungi of Hollin Wood", Next: foray26.EarlierList("l1") + "&after=200", Begin: foray26.EarlierList("l1"),
			Lines: []EarlierLine{{Line: 2, Written: "Boletus badius", Now: &now, NowPath: foray26.Taxon("Imleria badia"), Place: "north end", Day: "Oct 1998", Count: "3", AsItCame: "Boletus badius,Oct 1998,3"}, {Line: 3, Written: "Inventaria nova"}}}}
	none := SetupEarlier{Part: partSample("earlier")}
	firsts := FirstsPage{Layout: around("firsts.title", true, foray26.Firsts()), AsOf: time.Date(2026, 10, 24, 15, 40, 0, 0, time.UTC), Whole: true, CSV: foray26.Firsts() + ".csv", Lists: foray26.SetupPart("earlier"),
		Taxa: []FirstLine{{Name: now, Path: foray26.Taxon("Imleria badia"), Written: &badia, Fields: 1, Numbers: []NumberTo{{Number: number("0417"), Path: foray26.Find("0417")}},
			Marks: []FirstMark{{Text: message.T("earlier.first.site.possible", "place", "Hollin Wood"), Lacks: []message.Text{message.T("earlier.lacks.voucher")}, Why: []message.Text{T("firsts.against", "list", "HB25")}, Secret: true},
				{Text: message.T("earlier.first.society.sure"), Sure: true}}}},
		Compared: []FirstCompared{{Of: T("firsts.of.society"), With: []message.Text{T("firsts.with.events", "n", 1, "events", "HB25"), T("firsts.with.names", "n", 247)}, Secret: true}, {Of: T("firsts.of.no-record"), Nothing: true}}}
	nothing := FirstsPage{Layout: around("firsts.title", false, foray26.Firsts()), AsOf: firsts.AsOf}
	return []sample{{"setup-earlier", SetupEarlierPage(lists), lists, false}, {"setup-earlier-none", SetupEarlierPage(none), none, false},
		{"firsts", FirstsView(firsts), firsts, true}, {"firsts-none", FirstsView(nothing), nothing, true}}
}
