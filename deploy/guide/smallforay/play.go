package main

import (
	"fmt"
	"io"
	"strings"
)

// foray is the day, step by step.
type foray struct {
	client
	code string
	out  io.Writer
	ids  map[string]string // collections by number
}

func (f *foray) play() error {
	f.ids = map[string]string{}
	for _, step := range []struct {
		name string
		do   func() error
	}{
		{"set-up", f.setUp}, {"out and back", f.walk}, {"finds", f.logFinds}, {"names", f.giveNames}, {"sign-offs", f.signOff}, {"split", f.split},
		{"tables", f.layTables}, {"a card that is wrong", f.swapCard}, {"warnings", f.readWarnings}, {"list", f.publish},
	} {
		fmt.Fprintln(f.out, "—", step.name)
		if err := step.do(); err != nil {
			return err
		}
	}
	return nil
}

func (f *foray) setUp() error {
	if err := f.send("event.add.v1", fields{"code": f.code, "name": "Garden foray", "place": "Fernhollow", "starts_on": "2026-10-31",
		"time_zone": "Europe/London", "region": "EU"}, nil); err != nil {
		return err
	}
	f.event = f.code
	for _, command := range []struct {
		kind string
		body fields
	}{
		{"site.add.v1", fields{"code": "FH", "name": "Fernhollow wood", "latitude": 53.1, "longitude": -1.6, "uncertainty_m": 200, "permitted": true}},
		{"team.add.v1", fields{"number": 1, "name": "Beech slope", "leader": "Adaeze Marsh", "site": "FH"}},
		{"block.issue.v1", fields{"from": 1, "to": 50, "team": "1"}},
		{"table.add.v1", fields{"number": 1, "title": "White spores"}},
		{"table.add.v1", fields{"number": 2, "title": "Out of reach", "hazards": true}},
	} {
		if err := f.send(command.kind, command.body, nil); err != nil {
			return err
		}
	}
	return f.takeRights()
}

// takeRights gives the token's person every right that the day needs: at a small foray one person is all of them.
func (f *foray) takeRights() error {
	var room struct {
		Holders []struct {
			ID string `json:"id"`
		} `json:"holders"`
	}
	if err := f.see("/people", &room); err != nil {
		return err
	}
	if len(room.Holders) == 0 {
		return fmt.Errorf("nobody holds a right in %s", f.event)
	}
	for _, right := range []string{"desk", "identifier", "steward", "list_keeper"} {
		if err := f.send("right.give.v1", fields{"person": room.Holders[0].ID, "right": right}, nil); err != nil {
			return err
		}
	}
	return nil
}

// walk sends team 1 out with two names and counts them back: first the heads, then the names.
func (f *foray) walk() error {
	var marks []fields
	for _, name := range []string{"Adaeze Marsh", "Tomasz Rowan"} {
		var added struct{ Member string }
		if err := f.send("member.add.v1", fields{"team": "1", "name": name}, &added); err != nil {
			return err
		}
		marks = append(marks, fields{"member": added.Member, "kind": "out"})
	}
	if err := f.send("team.out.v1", fields{"team": "1", "heads": 2, "marks": marks}, nil); err != nil {
		return err
	}
	var standing struct {
		State string `json:"state"`
		Out   int    `json:"out"`
	}
	if err := f.send("team.back.v1", fields{"team": "1", "heads": 2, "all": true}, &standing); err != nil {
		return err
	}
	fmt.Fprintln(f.out, "   team 1:", standing.State, "still out:", standing.Out)
	return nil
}

var finds = []struct{ number, group, host string }{
	{"1", "ring_and_sack", "Fagus"}, {"2", "milkcap", "Betula"}, {"3", "brown_spored", "Fagus"}, {"4", "bracket", "Quercus"},
}

func (f *foray) logFinds() error {
	for _, find := range finds {
		var logged struct{ ID, Number string }
		if err := f.send("collection.log.v1", fields{"id": newID(), "number": find.number, "field": fields{"group": find.group, "team": "1", "site": "FH",
			"host": find.host, "collector": "Adaeze Marsh"}, "characters": []fields{{"character": "odour", "words": "nothing noticed"}}}, &logged); err != nil {
			return err
		}
		f.ids[logged.Number] = logged.ID
		fmt.Fprintln(f.out, "  logged", f.code, logged.Number, find.group)
	}
	return nil
}

func (f *foray) giveNames() error {
	for number, names := range map[string][]fields{
		"0001": {{"text": "Amanita citrina", "reason": "raw potato"}, {"text": "Amanita phalloides", "reason": "the base is not all there"}},
		"0002": {{"text": "Lactarius turpis"}},
	} {
		if err := f.send("slip.field-name.v1", fields{"collection": f.ids[number], "names": names}, nil); err != nil {
			return err
		}
	}
	return nil
}

// signOff stands behind two names, each on the version that was seen.
func (f *foray) signOff() error {
	for number, name := range map[string]string{"0001": "Amanita citrina", "0002": "Lactarius turpis"} {
		var seen struct {
			Version int `json:"version"`
		}
		if err := f.see("/collections/"+number, &seen); err != nil {
			return err
		}
		var done struct{ Number, Naming string }
		if err := f.decide("slip.sign-off.v1", &seen.Version, fields{"collection": f.ids[number], "name": fields{"text": name}, "basis": "macroscopic"}, &done); err != nil {
			return err
		}
		fmt.Fprintln(f.out, "  ", done.Number, name, done.Naming)
	}
	return nil
}

func (f *foray) split() error {
	return f.send("collection.split.v1", fields{"collection": f.ids["0003"], "parts": []fields{{"group": "brown_spored"}, {"group": "webcap"}}, "reason": "two species in one bag"}, nil)
}

func (f *foray) layTables() error {
	if err := f.send("plate.place-several.v1", fields{"where": "table", "table": "1", "plates": []fields{{"number": "1"}, {"number": "2"}}}, nil); err != nil {
		return err
	}
	var swept struct {
		Moved, Missing []string
	}
	if err := f.send("table.sweep.v1", fields{"table": "1", "plates": []fields{{"number": "1"}, {"number": "4"}}}, &swept); err != nil {
		return err
	}
	fmt.Fprintln(f.out, "   swept table 1: here after all", swept.Moved, "not seen", swept.Missing)
	return f.send("plate.place-several.v1", fields{"where": "table", "table": "1", "plates": []fields{{"number": "2"}}}, nil)
}

// swapCard makes cards, changes a name, and swaps the card that is wrong by then.
func (f *foray) swapCard() error {
	if err := f.send("card.make.v1", fields{}, nil); err != nil {
		return err
	}
	if err := f.send("slip.field-name.v1", fields{"collection": f.ids["0004"], "names": []fields{{"text": "Fistulina hepatica"}}}, nil); err != nil {
		return err
	}
	var papers struct {
		Jobs []struct{ Paper, Number, Kind string } `json:"jobs"`
	}
	if err := f.see("/papers", &papers); err != nil {
		return err
	}
	for _, job := range papers.Jobs {
		fmt.Fprintln(f.out, "  ", job.Number, job.Kind)
		if err := f.send("paper.swap.v1", fields{"paper": job.Paper, "by_hand": true}, nil); err != nil {
			return err
		}
	}
	return nil
}

func (f *foray) readWarnings() error {
	var sheet struct {
		Final bool     `json:"final"`
		Lacks []string `json:"lacks"`
		Here  []struct {
			Taxon  string `json:"taxon"`
			Plates []struct{ Number string }
		} `json:"here"`
	}
	if err := f.see("/warnings", &sheet); err != nil {
		return err
	}
	for _, line := range sheet.Here {
		fmt.Fprintln(f.out, "  ", line.Taxon, line.Plates)
	}
	if !sheet.Final {
		fmt.Fprintln(f.out, "   not final:", strings.Join(sheet.Lacks, " "))
	}
	return nil
}

func (f *foray) publish() error {
	var list struct {
		ChangeSeq int64 `json:"change_seq"`
	}
	if err := f.see("/list", &list); err != nil {
		return err
	}
	var done struct {
		Version int `json:"version"`
	}
	if err := f.send("list.publish.v1", fields{"change_seq": list.ChangeSeq, "remarks": "the day's list"}, &done); err != nil {
		return err
	}
	fmt.Fprintln(f.out, "   version", done.Version, "is signed:", f.url+"/"+f.society+"/"+f.code+"/list/"+fmt.Sprint(done.Version))
	return nil
}
