package pages_test

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/closing"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
	"forayhall/internal/message"
)

func init() {
	areaRows = append(areaRows, `
GET  /:society/events/new              . x x x x x x x x x x .
POST /:society/events/new              . x x x x x x x x x x .
GET  ⋯/setup/event                     . . x x x x x x x x x .
GET  ⋯/setup/sites                     . . x x x x x x x x x .
GET  ⋯/setup/walks                     . . x x x x x x x x x .
GET  ⋯/setup/teams                     . . x x x x x x x x x .
GET  ⋯/setup/tables                    . . x x x x x x x x x .
GET  ⋯/setup/numbers                   . . x x x x x x x x x .
GET  ⋯/setup/rights                    . . x x x x x x x x x .
GET  ⋯/setup/flags                     . . x x x x x x x x x .
GET  ⋯/setup/contact                   . . x x x x x x x x x .
POST ⋯/setup/event                     . . . . . . . . . . x .
POST ⋯/setup/group                     . . . . . . . . . . x .
POST ⋯/setup/borrowed                  . . . . . . . . . . x .
POST ⋯/setup/checklist                 . . . . . . . . . . x .
POST ⋯/setup/site                      . . . . . . . . . . x .
POST ⋯/setup/walk                      . . . . . . . . . . x .
POST ⋯/setup/walk-off                  . . . . . . . . . . x .
POST ⋯/setup/team                      . . . . . . . . . . x .
POST ⋯/setup/block                     . . . . . . . . . . x .
POST ⋯/setup/right-taken               . . . . . . . . . . x .
POST ⋯/setup/flag                      . . . . . . . . . . x .
POST ⋯/setup/flag-taken                . . . . . . . . . . x .
POST ⋯/setup/law                       . . . . . . . . . . x .
GET  ⋯/setup/stocks                    . . x x x x x x x x x .
POST ⋯/setup/stock                     . . . . . x . . . . x .
POST ⋯/setup/stock-taken               . . . . . x . . . . x .
GET  ⋯/close                           . . . . . . . . . . x .
POST ⋯/close/hall                      . . . . . . . . . . x .
POST ⋯/close/event                     . . . . . . . . . . x .
POST ⋯/close/again                     . . . . . . . . . . x .
`)
	for route, fill := range map[string]func(f *floor, who access.Right, set func(...string) url.Values) url.Values{
		"/setup/event": func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
			return set("name", "Autumn foray", "starts_on", "2026-10-24", "ends_on", "2026-10-25", "time_zone", "Europe/London", "region", "EU",
				"ring_min", "15", "tell_min", "30", "search_min", "60", "sunset_min", "60", "silence_min", "90")
		},
		"/setup/group": func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
			return set("group", "bolete", "way", "down")
		},
		"/setup/borrowed": func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
			return set("choice", "left_out")
		},
		"/setup/checklist": func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
			return set("checklist", "")
		},
		"/setup/site": func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
			return set("code", f.fresh("S"), "name", "Beech Hanger", "latitude", "53,12", "longitude", "-1.5", "permitted", "yes")
		},
		"/setup/walk": func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
			return set("number", f.fresh(""), "starts_at", "2026-10-24T10:00", "due_at", "2026-10-24T12:30", "leader", "Mei Adeyemi")
		},
		"/setup/walk-off": func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
			return set("id", f.walk().String())
		},
		"/setup/team": func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
			return set("number", f.fresh(""), "leader", "Mei Adeyemi")
		},
		"/setup/block": func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
			room := f.room()
			return set("from", fmt.Sprint(room.NextFrom), "to", fmt.Sprint(room.NextTo), "person", "Mei Adeyemi")
		},
		"/setup/right-taken": func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
			person := f.s.As[access.Member].Person
			f.must(second(setup.GiveRight(f.t.Context(), f.s.Hall, f.s.Machine, f.s.Scope, f.s.Command(f.t), setup.Right{Name: "Dora Vale", Right: access.Scribe})))
			for _, p := range f.room().People {
				if p.Name == "Dora Vale" {
					person = p.ID
				}
			}
			return set("person", person.String(), "role", "scribe")
		},
		"/setup/flag": func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
			return set("name", "Hericium erinaceus", "flag", "protected", "source", "Schedule of the county")
		},
		"/setup/flag-taken": func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
			return set("id", f.flag("Hericium coralloides").String())
		},
		"/setup/law": func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
			jurisdiction, row := f.law()
			return set("jurisdiction", jurisdiction, "taxa", row)
		},
		"/setup/stock": func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
			return set("name", f.fresh("Labels "), "page", "a4", "card_w", "99,1", "card_h", "67.7", "columns", "2", "rows", "4", "left", "4.65", "top", "13.1", "gap_x", "2.5")
		},
		"/setup/stock-taken": func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
			return set("id", f.stock(f.fresh("Labels ")).String())
		},
		"/close/hall": func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
			return set("bagged", fmt.Sprint(f.cleared()))
		},
		"/close/event": func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
			f.accounted()
			return set("words", "Thanks to everybody.")
		},
		"/close/again": func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
			return set("reason", "a slip was found")
		},
	} {
		areaForms[route] = fill
	}
	areaForms["/:society/events/new"] = func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
		return set("code", f.fresh("N"), "name", "Spring foray", "starts_on", "2027-04-10", "time_zone", "Europe/London", "region", "EU")
	}
}

func second[A any](_ A, err error) error { return err }

func (f *floor) must(err error) {
	f.t.Helper()
	if err != nil {
		f.t.Fatal(err)
	}
}

// fresh is a code or number that was not used before.
func (f *floor) fresh(prefix string) string {
	f.table++
	return fmt.Sprint(prefix, f.table+300)
}

func (f *floor) room() setup.Room {
	f.t.Helper()
	room, err := setup.See(f.t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope)
	f.must(err)
	return room
}

func (f *floor) walk() foray.ID {
	f.t.Helper()
	f.table++
	made, err := setup.AddWalk(f.t.Context(), f.s.Hall, f.s.Machine, f.s.Scope, f.s.Command(f.t), setup.Walk{Number: f.table, StartsAt: halltest.Saturday, DueAt: halltest.Saturday.Add(time.Hour)})
	f.must(err)
	return made.ID
}

// flag is a flag that stands, made where it does not.
func (f *floor) flag(name string) foray.ID {
	f.t.Helper()
	for _, flag := range f.room().Flags {
		if flag.Name == name {
			return flag.ID
		}
	}
	made, err := setup.AddFlag(f.t.Context(), f.s.Hall, f.s.Machine, f.s.Scope, f.s.Command(f.t), setup.Flag{Name: name, Flag: hall.Protected, Source: "Schedule of the county"})
	f.must(err)
	return made.ID
}

// stock is paper that the society adds.
func (f *floor) stock(name string) foray.ID {
	f.t.Helper()
	made, err := setup.AddStock(f.t.Context(), f.s.Hall, f.s.Machine, f.s.Scope, f.s.Command(f.t), setup.NewStock{Name: name, PageW: 210, PageH: 297, CardW: 99.1, CardH: 67.7, Columns: 2, Rows: 4, CutMarks: true})
	f.must(err)
	return made.ID
}

// law is a row of the law tables that the event does not have yet, as the form sends it.
func (f *floor) law() (jurisdiction, row string) {
	f.t.Helper()
	for _, j := range setup.Jurisdictions(f.s.Hall) {
		law, err := setup.SeeLaw(f.t.Context(), f.s.Hall, f.s.Machine, f.s.Scope, j)
		f.must(err)
		for _, flag := range law.Flags {
			if !flag.Here {
				return j, flag.Flag + " " + flag.Taxon
			}
		}
	}
	f.t.Fatal("everything that the law tables know is a flag of the event")
	return "", ""
}

// cleared puts away what is hazardous, each in a tray of its own, and says how many the records say were bagged.
func (f *floor) cleared() int {
	f.t.Helper()
	if f.barred {
		return 0
	}
	s, err := closing.See(f.t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope)
	f.must(err)
	for _, n := range append(slices.Clone(s.Hazards.Here), s.Hazards.Lost...) {
		f.must(second(tables.PlacePlate(f.t.Context(), f.s.Hall, f.s.Machine, f.s.Scope, f.s.Command(f.t),
			tables.Place{Collection: f.plate(n.String()).ID, Where: foray.InDryer, Position: "tray " + n.String()})))
	}
	return s.Hazards.Bagged
}

// accounted brings an event to where it may be closed: the hall is closed, no number open, the list signed.
func (f *floor) accounted() {
	f.t.Helper()
	if f.barred {
		return
	}
	ctx := f.t.Context()
	s, err := closing.See(ctx, f.s.Hall, f.s.Machine, f.s.Scope)
	f.must(err)
	if s.Event.State == hall.EventOpen {
		f.must(second(closing.EndDay(ctx, f.s.Hall, f.s.Machine, f.s.Scope, f.s.Command(f.t), closing.CloseHall{Bagged: f.cleared()})))
	}
	ledger, err := desk.SeeLedger(ctx, f.s.Hall, f.s.As[access.Desk], f.s.Scope)
	f.must(err)
	for _, e := range ledger.Entries {
		if e.Fate == foray.Open {
			f.must(second(desk.SayFate(ctx, f.s.Hall, f.s.As[access.Desk], f.s.Scope, f.s.Command(f.t), desk.Fate{Number: e.From.String(), To: e.To.String(), Fate: "unused"})))
		}
	}
	plates := map[string]bool{}
	for _, need := range s.Finish {
		for _, n := range need.Numbers {
			if !plates[n] {
				plates[n] = true
				f.must(second(tables.PlacePlate(ctx, f.s.Hall, f.s.Machine, f.s.Scope, f.s.Command(f.t), tables.Place{Collection: f.plate(n).ID, Where: foray.OnBackTable})))
			}
		}
	}
	f.s.Pass(time.Second)
	f.must(second(list.Publish(ctx, f.s.Hall, f.s.As[access.ListKeeper], f.s.Scope, f.s.Command(f.t), list.Sign{Seq: f.seq()})))
}

// TestAnEventIsSetUpByForms: from an earlier one, then every part once, changed where it was wrong.
func TestAnEventIsSetUpByForms(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		b := f.s.browser(t)
		b.get("/sign-in").send("/sign-in", "name", string(access.Organiser), "password", halltest.Password).want(http.StatusOK)
		say := message.For(message.English).Say
		b.get("/hollinbeck/events/new?from=HB26").want(http.StatusOK, "HB26").fill("/hollinbeck/events/new", "code", "HB26", "starts_on", "2027-04-10").
			want(http.StatusUnprocessableEntity, say("setup.event-taken", "code", "HB26"))
		b.fill("/hollinbeck/events/new", "code", "HB27").want(http.StatusOK, say("setup.lacks.sites"), say("setup.lacks.contact"))
		at := "/hollinbeck/HB27/setup"
		b.get(at+"/sites").fill(at+"/site", "code", "WC", "name", "Withy Clough", "latitude", "53.1", "longitude", "").want(http.StatusUnprocessableEntity, say("setup.point"))
		b.fill(at+"/site", "longitude", "-1,5").want(http.StatusOK, "WC · Withy Clough", "53.1, -1.5", say("pages.setup.done"))
		b.get(at+"/walks").fill(at+"/walk", "title", "Alders", "starts_at", "2027-04-10T10:00", "due_at", "2027-04-10T12:30", "leader", "Ines Okafor").want(http.StatusOK, "Walk 1 Alders", "Led by Ines Okafor")
		b.get(at+"/teams").fill(at+"/team", "leader", "Ines Okafor").want(http.StatusOK, "Team 1")
		b.get(at+"/numbers").fill(at+"/block", "person", "").want(http.StatusUnprocessableEntity, say("setup.block-to-whom"))
		b.fill(at+"/block", "person", "Mei Adeyemi").want(http.StatusOK, "0001 to 0050", "To Mei Adeyemi")
		b.get(at+"/tables").fill(at+"/table", "name", "Boletes", "groups", "bolete").want(http.StatusOK, "Table 1 Boletes", "Bolete", "1830 × 760 mm")
		b.get(at+"/flags").fill(at+"/flag", "name", "Hericium erinaceus", "flag", "protected", "source", "Schedule").want(http.StatusOK, "Hericium erinaceus: protected")
		b.get(at+"/rights").fill(at+"/right", "name", "Dora Vale", "role", "identifier").want(http.StatusOK, "Dora Vale", "gave Dora Vale the right: identifier.")
		b.get(at+"/event").fill(at+"/event", "jurisdiction", "England", "ring_min", "soon").want(http.StatusUnprocessableEntity, say("setup.whole-number"))
		b.fill(at+"/event", "ring_min", "20").want(http.StatusOK, say("pages.setup.done"))
		room, err := setup.See(t.Context(), g.Hall, g.As[access.Organiser], access.Scope{Society: g.Scope.Society, Event: f.eventID("HB27")})
		f.must(err)
		change := at + "/walks?change=" + room.Walks[0].ID.String()
		b.get(change).want(http.StatusOK).fill(at+"/walk", "title", "Willows").want(http.StatusOK, "Walk 1 Willows")
		if w := room.Walks[0]; !w.StartsAt.Equal(time.Date(2027, 4, 10, 9, 0, 0, 0, time.UTC)) || room.Event.RingMin != 20 || room.Event.Jurisdiction != "England" {
			t.Errorf("the walk leaves at %v, the leader is rung after %d", w.StartsAt, room.Event.RingMin)
		}
	})
}

// fill sends a form as a browser does: with everything that it holds, but for what is typed over it.
func (b *browser) fill(action string, pairs ...string) *browser {
	b.t.Helper()
	form := find(b.page, func(n *node) bool { return n.Data == "form" && attr(n, "action") == action })
	if form == nil {
		b.t.Fatalf("no form to %s on %s (%d): %s", action, b.path, b.status, b.text())
	}
	values := url.Values{}
	each(form, func(n *node) {
		name := attr(n, "name")
		switch kind := attr(n, "type"); {
		case name == "" || n.Data == "button":
		case n.Data == "input" && (kind == "checkbox" || kind == "radio"):
			if has(n, "checked") {
				values.Add(name, attr(n, "value"))
			}
		case n.Data == "input":
			values.Add(name, attr(n, "value"))
		case n.Data == "textarea":
			values.Add(name, textOf(n))
		case n.Data == "select":
			if chosen := find(n, func(o *node) bool { return o.Data == "option" && has(o, "selected") }); chosen != nil {
				values.Add(name, attr(chosen, "value"))
			}
		}
	})
	for i := 0; i < len(pairs); i += 2 {
		values.Set(pairs[i], pairs[i+1])
	}
	return b.post(action, values)
}

func (f *floor) eventID(code string) foray.ID {
	f.t.Helper()
	a, err := f.s.FindEvent(f.t.Context(), "hollinbeck", code)
	f.must(err)
	return a.Event.ID
}

// TestAHallIsClosedByForms: what is missing leads to where it is mended; a wrong count comes back.
func TestAHallIsClosedByForms(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		b := f.s.browser(t)
		b.get("/sign-in").send("/sign-in", "name", string(access.Organiser), "password", halltest.Password).want(http.StatusOK)
		number := f.collection("Mei Adeyemi")
		f.signed(number, f.s.Second, "Amanita phalloides", "")
		b.get(event+"/close").want(http.StatusOK, number)
		if b.has(event + "/close/hall") {
			t.Error("the hall may be closed with a deadly plate on the desk")
		}
		f.must(second(tables.PlacePlate(t.Context(), g.Hall, g.Machine, g.Scope, g.Command(t), tables.Place{Collection: f.plate(number).ID, Where: foray.Discarded})))
		b.get(event+"/close").send(event+"/close/hall", "bagged", "").want(http.StatusUnprocessableEntity, message.For(message.English).Say("closing.count"))
		b.send(event+"/close/hall", "bagged", "3").want(http.StatusUnprocessableEntity, "You counted 3, the records say 1")
		b.send(event+"/close/hall", "bagged", "1").want(http.StatusOK, "The hall is closed.")
		f.accounted()
		b.get(event+"/close").send(event+"/close/event").want(http.StatusOK, "The event is closed.")
		b.get(event+"/intake").send(event+"/intake", "number", "801", "group", "bolete")
		if b.status != http.StatusUnprocessableEntity && b.status != http.StatusNotFound {
			t.Errorf("intake answered %d", b.status)
		}
		b.get(event+"/close").send(event+"/close/again", "reason", "").want(http.StatusUnprocessableEntity, message.For(message.English).Say("closing.reason"))
		b.send(event+"/close/again", "reason", "A slip was found").want(http.StatusOK, "A slip was found")
		if !strings.Contains(b.text(), "The hall is closed.") {
			t.Error("a closed event that was opened again is no closed hall")
		}
	})
}
