package pages_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/vouchers"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

func init() {
	areaRows = append(areaRows, `
GET  ⋯/vouchers                        . . . x . x x x . x x .
GET  ⋯/vouchers/map                    . . . x . x x x . x x .
GET  ⋯/vouchers/:number                . . . x . x x x . x x .
GET  ⋯/papers/labels.pdf               . . . x . x x x . x x .
GET  ⋯/papers/packets.pdf              . . . x . x x x . x x .
POST ⋯/vouchers/choose                 . . . x . x x x . x x .
POST ⋯/vouchers/load                   . . . x . x x x . x x .
POST ⋯/vouchers/out                    . . . x . x x x . x x .
POST ⋯/vouchers/packets                . . . x . x x x . x x .
POST ⋯/vouchers/packets    sent        . . . x . x x x . x x .
POST ⋯/vouchers/dryer                  . . . x . x x x . x x .
POST ⋯/vouchers/dryer-taken            . . . x . x x x . x x .
POST ⋯/vouchers/temperature            . . . x . x x x . x x .
POST ⋯/vouchers/:number/choose         . . . x . x x x . x x .
POST ⋯/vouchers/:number/say            . . . x . x x x . x x .
POST ⋯/vouchers/:number/code           . . . x . x x x . x x .
POST ⋯/vouchers/:number/code accession . . . . . . x x . x x .
POST ⋯/vouchers/:number/right          . . . . . . x x . x x .`)
	areaPaths["/papers/labels.pdf"] = func(_ *floor, _ row) string { return event + "/papers/labels.pdf?from=1&to=3" }
	areaPaths["/papers/packets.pdf"] = func(f *floor, _ row) string {
		f.voucher()
		return event + "/papers/packets.pdf"
	}
	areaPaths["/vouchers/:number"] = func(f *floor, r row) string {
		number := f.collection("Mei Adeyemi")
		if f.number++; strings.HasSuffix(r.route, "/say") || strings.HasSuffix(r.route, "/right") || r.variant == "accession" {
			number = f.voucher()
		}
		return strings.Replace(strings.Replace(r.route, "/:society/:event", event, 1), ":number", number, 1)
	}
	fill := func(form func(f *floor) []string) func(*floor, access.Right, func(...string) url.Values) url.Values {
		return func(f *floor, _ access.Right, set func(...string) url.Values) url.Values { return set(form(f)...) }
	}
	areaForms["/vouchers/choose"] = fill(func(f *floor) []string { return []string{"number", f.collection("Mei Adeyemi"), "reason", "material"} })
	areaForms["/vouchers/load"] = fill(func(f *floor) []string {
		return []string{"numbers", f.collection("Mei Adeyemi"), "dryer", f.dryer().String(), "reason", "material"}
	})
	areaForms["/vouchers/out"] = fill(func(f *floor) []string {
		id, number := f.dryer(), f.collection("Mei Adeyemi")
		f.must(second(vouchers.LoadDryer(f.t.Context(), f.s.Hall, f.s.As[access.Steward], f.s.Scope, f.s.Command(f.t), vouchers.Load{Dryer: id.String(), Plates: []vouchers.Loading{{Number: number}}})))
		return []string{"numbers", number, "dry", "yes", "where", "desk"}
	})
	areaForms["/vouchers/packets"] = fill(func(f *floor) []string { return []string{"plate", f.voucher(), "act", "packed"} })
	areaForms["/vouchers/packets sent"] = fill(func(f *floor) []string {
		number := f.voucher()
		f.must(second(vouchers.PackVouchers(f.t.Context(), f.s.Hall, f.s.As[access.Steward], f.s.Scope, f.s.Command(f.t), vouchers.Pack{Numbers: []string{number}})))
		return []string{"plate", number, "act", "sent", "institution", "DCM"}
	})
	areaForms["/vouchers/dryer"] = fill(func(f *floor) []string {
		f.table++
		return []string{"name", fmt.Sprint("D", f.table), "rows", "2", "places", "3"}
	})
	areaForms["/vouchers/dryer-taken"] = fill(func(f *floor) []string { return []string{"dryer", f.dryer().String()} })
	areaForms["/vouchers/temperature"] = fill(func(f *floor) []string { return []string{"dryer", f.dryer().String(), "celsius", "41,5"} })
	areaForms["/vouchers/:number/choose"] = fill(func(*floor) []string { return []string{"reason", "hazard"} })
	areaForms["/vouchers/:number/say"] = fill(func(*floor) []string { return []string{"act", "dropped", "words", "maggots"} })
	areaForms["/vouchers/:number/code"] = fill(func(f *floor) []string {
		f.table++
		return []string{"kind", "tissue", "code", fmt.Sprint("P", f.table)}
	})
	areaForms["/vouchers/:number/code accession"] = fill(func(f *floor) []string {
		f.table++
		return []string{"kind", "accession", "code", fmt.Sprint("F", f.table), "held_at", "DCM"}
	})
	areaForms["/vouchers/:number/right"] = fill(func(f *floor) []string {
		f.table++
		number := f.voucher()
		made, err := vouchers.AddCode(f.t.Context(), f.s.Hall, f.s.As[access.ListKeeper], f.s.Scope, f.s.Command(f.t), vouchers.NewCode{Number: number,
			Code: vouchers.Code{Kind: foray.Sequence, Code: fmt.Sprint("XX", f.table), HeldAt: "invented archive", Marker: "ITS"}})
		f.must(err)
		return []string{"id", made.ID.String(), "words", "another was meant", "code", fmt.Sprint("XX0", f.table), "held_at", "invented archive", "marker", "ITS"}
	})
}

// voucher is a fresh find that somebody chose.
func (f *floor) voucher() string {
	f.t.Helper()
	number := f.collection("Mei Adeyemi")
	f.must(second(vouchers.ChooseVoucher(f.t.Context(), f.s.Hall, f.s.As[access.Steward], f.s.Scope, f.s.Command(f.t), vouchers.Choose{Number: number, Reason: foray.ForMaterial})))
	return number
}

// dryer is a fresh dryer.
func (f *floor) dryer() foray.ID {
	f.t.Helper()
	f.table++
	made, err := vouchers.AddDryer(f.t.Context(), f.s.Hall, f.s.As[access.Steward], f.s.Scope, f.s.Command(f.t), vouchers.NewDryer{Name: fmt.Sprint("D", f.table), Rows: 3, Places: 4})
	f.must(err)
	return made.ID
}

// A steward at the dryer, from the first tray to the packet; would catch a form that forgets what was typed, a place that is
// given away without the other being named, and a number put right that cannot be read any more.
func TestAStewardDriesAndPacksByTheForms(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		b, at := f.s.browser(t), event+"/vouchers"
		b.get("/sign-in").send("/sign-in", "name", string(access.Organiser), "password", halltest.Password).want(http.StatusOK)
		say := message.For(message.English).Say
		one, two := f.collection("Mei Adeyemi"), f.collection("Mei Adeyemi")
		b.get(at).want(http.StatusOK, say("pages.vouchers.packets.none"))
		b.fill(at+"/dryer", "name", "A", "rows", "two", "places", "3").want(http.StatusUnprocessableEntity, say("setup.whole-number"))
		b.fill(at+"/dryer", "rows", "2").want(http.StatusOK, say("pages.vouchers.ok"), say("pages.vouchers.free", "n", 6))
		b.fill(at+"/load", "numbers", one+" A 1-1\n"+two+": a1/1", "reason", "hazard").want(http.StatusUnprocessableEntity, one+" lies at A 1-1 already")
		b.fill(at+"/load", "numbers", one+" A 1-1\nHB26 "+two+" A 2-3").want(http.StatusOK, say("pages.vouchers.free", "n", 4), say("pages.vouchers.reason.hazard"))
		b.fill(at+"/temperature", "celsius", "46,5").want(http.StatusOK, say("dryer.advice.hot"), "46.5 °C")
		b.get(at+"/map").want(http.StatusOK, one, two)
		b.get(at).fill(at+"/out", "numbers", one+" "+two, "dry", "yes", "where", "desk").want(http.StatusOK, say("pages.vouchers.fact.dry"))
		b.fill(at+"/packets", "plate", one, "act", "sent", "institution", "DCM").want(http.StatusUnprocessableEntity, "not packed yet")
		b.fill(at+"/packets", "plate", one, "act", "packed").want(http.StatusOK, say("pages.vouchers.fact.packed"))
		b.fill(at+"/packets", "plate", one, "act", "sent", "institution", "county").want(http.StatusOK, say("pages.vouchers.fact.sent", "to", "COUNTY"))
		b.get(at+"/"+one).want(http.StatusOK, say("pages.vouchers.act.taken_out.dry"), say("pages.vouchers.in", "slot", "A 1-1"))
		b.fill(at+"/"+one+"/code", "kind", "accession", "code", "HB26-"+one, "held_at", "COUNTY").want(http.StatusUnprocessableEntity, "the hall’s own number")
		b.fill(at+"/"+one+"/code", "code", "F 123").want(http.StatusOK, "COUNTY F 123")
		b.fill(at+"/"+one+"/right", "code", "F 124", "words", "").want(http.StatusUnprocessableEntity, say("voucher.why-missing"))
		b.fill(at+"/"+one+"/right", "words", "a slip of the pen").want(http.StatusOK, "COUNTY F 124", "COUNTY F 123", "a slip of the pen")
		b.get(at+"/"+two).fill(at+"/"+two+"/say", "act", "dropped", "words", "maggots").want(http.StatusOK, say("pages.vouchers.fact.dropped", "why", "maggots"))
		var v hall.Voucher
		f.must(g.View(t.Context(), access.Nobody, access.ReadPublic, g.Scope, func(l *hall.Look) error {
			all, err := l.Vouchers()
			c, err2 := l.CollectionWritten(one)
			v = all[c.ID]
			return first(err, err2)
		}))
		if v.Accession != "F 124" || v.Institution != "COUNTY" || !v.Packed {
			t.Errorf("the voucher stands as %+v", v)
		}
		if status := b.get(event + "/papers/packets.pdf?fold=Letter").status; status != http.StatusOK {
			t.Errorf("packets: %d", status)
		}
		for asked, typed := range map[string][]string{"labels.pdf?from=9&to=3&skip=2": {"9", "3", "2"}, "labels.pdf?from=nine&to=12": {"nine", "12"}, "packets.pdf?numbers=9999&skip=4": {"9999", "4"}} {
			b.get(event+"/papers/"+asked).want(http.StatusUnprocessableEntity, say("pages.vouchers.papers.labels"))
			for _, value := range typed {
				if !strings.Contains(b.body, `value="`+value+`"`) {
					t.Errorf("%s comes back without %s", asked, value)
				}
			}
		}
		b.get(event+"/close").want(http.StatusOK, say("pages.task.vouchers"))
		f.must(g.Store.Read(t.Context(), func(tx *store.Tx) error {
			c, err := tx.Check()
			for _, broken := range c.Broken {
				t.Errorf("check: %s %s", broken.Rule, broken.Text.Key)
			}
			return err
		}))
	})
}

func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
