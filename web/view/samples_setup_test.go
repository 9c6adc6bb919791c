package view

import "forayhall/internal/message"

func partSample(key string) Part {
	p := Part{Layout: around("setup.title", true, foray26.SetupPart(key)), Key: key}
	for _, part := range []string{"event", "sites", "walks", "teams", "tables", "numbers", "stocks", "rights", "flags", "contact"} {
		p.Parts = append(p.Parts, PartLink{Key: part, Path: foray26.SetupPart(part), Missing: len(part) % 3, Here: part == key})
	}
	if key != "" {
		p.Layout.Title = T("setup.part." + key)
		p.Missing = []Missing{{Text: message.T("setup.lacks.walks"), Path: foray26.SetupPart("walks") + "#form"}}
	}
	return p
}

func rowsSample(p Part, head message.Text) Part {
	act := form(FormWalkOff, 0)
	p.Rows = []SetupRow{
		{ID: "r1", Head: head, Lines: []message.Text{T("setup.line.leader", "name", "Ines Okafor"), T("setup.line.hazards")}, Warn: true, Change: foray26.SetupPart(p.Key) + "?change=r1#form", Here: true},
		{ID: "r2", Head: T("setup.line.team", "number", 4, "name", "The slow ones"), Quiet: true, Act: &ActForm{Form: act, ID: "r2", On: true, Send: "setup.walk.on"}}}
	return p
}

func eventSample() SetupEvent {
	move, choose := form(FormGroup, 0), form(FormBorrowed, 0)
	return SetupEvent{Borrowed: Borrowed{Form: &choose, Choices: Options("borrowed", []string{"shown", "left_out"}, "shown"),
		Names: []Common{{Name: "yellow tricholoma", Borrows: &Borrow{Part: "tricholoma", Genus: "Tricholoma", Relation: "current"}}}},
		Part: partSample("event"), Edit: &EventForm{Form: form(FormEvent, 0), Name: "Autumn foray", From: "2026-10-03", Zone: "Europe/London",
			Regions: Options("region", []string{"EU", "NA"}, "EU"), Ring: "15", Everything: true}, Groups: []GroupMove{{Form: &move, Group: "bolete", First: true}, {Group: "milkcap", Last: true}}}
}

func closingSample(state string) Closing {
	to := NumberTo{Number: number("0417"), Path: foray26.Collection("0417")}
	c := Closing{Layout: around("closing.title", true, foray26.Close()), State: state, Records: 12,
		Hall:  []ClosingNeed{{Text: message.T("closing.needs.hazards", "n", 1), Path: foray26.Collections(), Numbers: []NumberTo{to}}},
		Event: []ClosingNeed{{Text: message.T("closing.needs.hall"), Path: foray26.Close() + "#close-hall"}}, Facts: []message.Text{T("closing.fact.bagged", "n", 12)}, Lost: []NumberTo{to},
		History: []ClosingLine{{Kind: "hall", At: T("date.moment", "day", "3 October", "time", "18:10"), By: "Ines Okafor", Count: 12, Words: "One had no slip."}}}
	switch state {
	case "open":
		c.Day = &CloseHallForm{Form: form(FormCloseHall, 0), Bagged: "12"}
	case "hall_closed":
		c.Event, c.Final, c.Again = nil, &CloseEventForm{Form: form(FormCloseEvent, 0)}, &OpenAgainForm{Form: form(FormOpenAgain, 0), Reason: "a slip was found"}
	}
	return c
}

func stocksSample() SetupStocks {
	page := StockPage{Title: T("stocks.drawn", "name", "Our labels"), About: T("stocks.page", "w", "210", "h", "297"), W: 210, H: 297, CardW: 99.1, CardH: 67.7, Columns: 2, Rows: 4, Left: 4.65, Top: 13.1, GapX: 2.5, Cut: true}
	return SetupStocks{Part: partSample("stocks"), Edit: &StockForm{Form: form(FormStock, 0), Name: "Small labels", CardW: "63,5", Pages: Options("stocks.size", []string{"a4", "letter", "other"}, "letter"), Cut: true},
		Stocks: []StockRow{{ID: "stock-1", Name: "Our labels", Own: true, Lines: []message.Text{T("stocks.cut")}, Page: page, Take: &ActForm{Form: form(FormStockTaken, 0), ID: "r1", Send: "stocks.take"}},
			{ID: "stock-2", Name: "A4, 2 × 4", Page: page}}}
}

func setupSamples() []sample {
	options := []Option{{Value: "s1", Label: "WC Withy Clough", Chosen: true}}
	people, take := []string{"Ines Okafor", "Mei Adeyemi"}, form(FormRightTaken, 0)
	event, open, closed := eventSample(), closingSample("open"), closingSample("hall_closed")
	sites := SetupSites{Part: rowsSample(partSample("sites"), T("setup.line.site", "code", "WC", "name", "Withy Clough")), Edit: &SiteForm{Form: form(FormSite, 0), ID: "r1", Name: "Withy Clough", Latitude: "53.1", Sensitive: true}}
	walks := SetupWalks{Part: rowsSample(partSample("walks"), T("setup.line.walk", "number", 1, "title", "Alders")), Edit: &WalkForm{Form: form(FormWalk, 0), Number: "2", Sites: options, People: people}}
	teams := SetupTeams{Part: rowsSample(partSample("teams"), T("setup.line.team", "number", 1, "name", "")), Edit: &TeamForm{Form: form(FormTeam, 0), Number: "2", Walks: options, Sites: options, People: people}}
	tables := SetupTables{Part: rowsSample(partSample("tables"), T("setup.line.table", "number", 1, "title", "Boletes")), Edit: &TableForm{Form: form(FormTable, 0), Number: "15", Name: "Behind the rail", Groups: Options("group", Groups, "bolete")}}
	numbers := SetupNumbers{Part: rowsSample(partSample("numbers"), T("setup.line.block", "from", "0101", "to", "0150")), Edit: &BlockForm{Form: form(FormBlock, 0), From: "151", To: "200", Teams: options, People: people}}
	rights := SetupRights{Part: partSample("rights"), People: []PersonRow{{Name: "Ines Okafor", Account: true, Rights: []RightHeld{{Role: "identifier", Person: "p1", Take: &take}, {Role: "desk", Person: "p1"}},
		Groups: []string{"ring_and_sack", "milkcap"}}, {Name: "Aurelio Brandt", Rights: []RightHeld{{Role: "chief_identifier"}}}},
		Give:    &RightForm{Form: form(FormRight, 0), People: []Option{{Value: "p1", Label: "Mei Adeyemi"}}, Roles: Options("role", Roles, "")},
		History: []RightLine{{Text: T("setup.right.given", "by", "Mei Adeyemi", "name", "Ines Okafor", "role", RoleText("desk")), At: T("date.moment", "day", "3 October", "time", "09:10")}}}
	flags := SetupFlags{Part: rowsSample(partSample("flags"), T("setup.line.flag", "name", "Hericium erinaceus", "flag", message.T("flag.protected.word"))), Edit: &FlagForm{Form: form(FormFlag, 0), Names: foray26.Names(), Kinds: []Option{{Value: "protected", Text: message.T("flag.protected.word")}}}}
	flags.Layout.Errors = Errors{Form: FormFlag, Summary: message.T("fault.invalid"), Fields: map[string]message.Text{"name": message.T("setup.flag-name", "name", "some tooth")}}
	flags.Law = LawOffer{Here: foray26.SetupPart("flags"), Known: "United Kingdom", Choices: []Option{{Value: "United Kingdom", Text: T("law.name", "name", "United Kingdom"), Chosen: true}},
		Form: &Form{Action: foray26.SetupPart(FormLaw), Command: "019ac2f0-0000-7000-8000-000000000006"}, Rows: []LawRow{
			{Value: "protected Hericium erinaceus", Name: SciName{Name: "Hericium erinaceus"}, Flag: message.T("flag.protected.word"), Source: "Schedule 8", Note: "check the law in force", Ticked: true},
			{Value: "protected Boletus edulis", Name: SciName{Name: "Boletus edulis"}, Flag: message.T("flag.protected.word"), Source: "Schedule 9", Here: true}}}
	stocks := stocksSample()
	contact := SetupContact{Part: partSample("contact"), Contact: sheetSample(false).Contact, Edit: &ContactForm{Form: form(FormContact, 0), Name: "Poisons desk of the county", Phone: "01632 960 417", Hours: "day and night"},
		Tested: &TestedForm{Form: form(FormTested, 0)}}
	next := NewEvent{Layout: around("new-event.title", true, "/hollinbeck/events/new"), Form: Form{Action: "/hollinbeck/events/new", Command: "019ac2f0-0000-7000-8000-000000000005"}, From: "HB26",
		Earlier: []Option{{Value: "HB26", Label: "HB26 Autumn foray", Chosen: true}}, Reload: "/hollinbeck/events/new", Name: "Autumn foray", Zone: "Europe/London", Regions: Options("region", []string{"EU", "NA"}, "EU")}
	return []sample{
		{"setup-event", SetupEventPage(event), event, false}, {"setup-sites", SetupSitesPage(sites), sites, false}, {"setup-walks", SetupWalksPage(walks), walks, false},
		{"setup-teams", SetupTeamsPage(teams), teams, false}, {"setup-tables", SetupTablesPage(tables), tables, false}, {"setup-numbers", SetupNumbersPage(numbers), numbers, false},
		{"setup-rights", SetupRightsPage(rights), rights, false}, {"setup-flags", SetupFlagsPage(flags), flags, false}, {"setup-stocks", SetupStocksPage(stocks), stocks, false}, {"setup-contact", SetupContactPage(contact), contact, false},
		{"new-event", NewEventPage(next), next, false}, {"close", ClosingPage(open), open, false}, {"close-event", ClosingPage(closed), closed, false},
	}
}
