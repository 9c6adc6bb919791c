package earlier_test

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/earlier"
	"forayhall/internal/hall/fieldwork"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/vouchers"
	"forayhall/internal/store"
)

// year is another event of the ground's society, with a site and the people who work there.
func year(t testing.TB, g *halltest.Ground, code, from, to string) access.Scope {
	t.Helper()
	made, err := setup.AddEvent(context.Background(), g.Hall, g.Machine, access.Scope{Society: g.Scope.Society}, g.Command(t),
		setup.Event{Code: code, Name: "Foray " + code, StartsOn: from, EndsOn: to, TimeZone: "Europe/London", Region: "EU"})
	if err != nil {
		t.Fatal(err)
	}
	scope := access.Scope{Society: g.Scope.Society, Event: made.ID}
	for _, r := range []access.Right{access.Desk, access.Identifier, access.ListKeeper} {
		if _, err := setup.GiveRight(context.Background(), g.Hall, g.Machine, scope, g.Command(t), setup.Right{Person: g.As[r].Person, Right: r}); err != nil {
			t.Fatal(err)
		}
	}
	site(t, g, scope, setup.Site{Code: "NH", Name: "Nether Holt", Permitted: true})
	return scope
}

func site(t testing.TB, g *halltest.Ground, scope access.Scope, s setup.Site) {
	t.Helper()
	if _, err := setup.AddSite(context.Background(), g.Hall, g.Machine, scope, g.Command(t), s); err != nil {
		t.Fatal(err)
	}
}

// logged is a plate without a name.
func logged(t testing.TB, g *halltest.Ground, scope access.Scope, number string, f desk.Field) foray.ID {
	t.Helper()
	f.Group = "bolete"
	if f.Team == "" && f.Site == "" {
		f.Site = "NH"
	}
	done, err := desk.LogCollection(context.Background(), g.Hall, g.As[access.Desk], scope, g.Command(t), desk.Log{Number: number, Field: f})
	if err != nil {
		t.Fatal(err)
	}
	return done.ID
}

// signed is a plate that the identifier stands behind.
func signed(t testing.TB, g *halltest.Ground, scope access.Scope, number, name string, fields ...desk.Field) foray.ID {
	t.Helper()
	var f desk.Field
	if len(fields) > 0 {
		f = fields[0]
	}
	id := logged(t, g, scope, number, f)
	if _, err := bench.SignOff(context.Background(), g.Hall, g.As[access.Identifier], scope, g.On(t, 0),
		bench.Word{Collection: id, Name: hall.NameInput{Text: name}, Basis: foray.Bases[0]}); err != nil {
		t.Fatal(err)
	}
	return id
}

func kept(t testing.TB, g *halltest.Ground, scope access.Scope, number string) {
	t.Helper()
	if _, err := vouchers.ChooseVoucher(context.Background(), g.Hall, g.As[access.ListKeeper], scope, g.Command(t), vouchers.Choose{Number: number, Reason: foray.ForFirstRecord}); err != nil {
		t.Fatal(err)
	}
}

// told is what anybody is told of an event: a line "name: scope place state" for each first.
func told(t testing.TB, g *halltest.Ground, scope access.Scope) []string {
	t.Helper()
	r, err := earlier.Firsts(context.Background(), g.Hall, access.Nobody, scope)
	if err != nil {
		t.Fatal(err)
	}
	return lines(r)
}

func lines(r earlier.FirstRecords) []string {
	var all []string
	for _, x := range r.Taxa {
		name := x.Written
		if x.Name != nil {
			name = x.Name.Name
		}
		for _, f := range x.Firsts {
			where := strings.TrimSpace(f.Scope + " " + f.Place)
			all = append(all, strings.TrimSpace(fmt.Sprintf("%s: %s, %s %s", name, where, earlier.State(f), strings.Join(f.Lacks, "+"))))
		}
	}
	return all
}

func want(t *testing.T, what string, got []string, want ...string) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("%s:\n got %q\nwant %q", what, got, want)
	}
}

const (
	bare  = "possible first confirmation+voucher"
	named = "possible first voucher"
	sure  = "first"
)

func TestWithNothingToCompareWithNothingIsAFirst(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		now := year(t, g, "HB30", "2026-10-23", "2026-10-24")
		signed(t, g, now, "1", "Boletus edulis")
		want(t, "no list and no event before", told(t, g, now))
		r, err := earlier.Firsts(t.Context(), g.Hall, access.Nobody, now)
		if err != nil || len(r.Compared) != 3 {
			t.Fatal(r, err)
		}
		for _, c := range r.Compared {
			if !c.Nothing || len(c.Lists)+len(c.Events)+c.Names != 0 {
				t.Errorf("compared with %+v", c)
			}
		}
		brought(t, g, of(store.OfRecord, "Fellshire"), "Boletus badius")
		want(t, "only the scope that has a list", told(t, g, now), "Boletus edulis: record Fellshire, "+named)
	})
}

func TestASynonymMakesNoFirst(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		now := year(t, g, "HB30", "2026-10-23", "2026-10-24")
		brought(t, g, of(store.OfRecord, "Fellshire"), "Boletus badius", "Lepista nuda", "Piptoporus betulinus (Bull.) P. Karst.", "Inventaria nova")
		for i, name := range []string{"Imleria badia", "Clitocybe nuda", "Fomitopsis betulina", "Xerocomus badius", "Inventaria nova"} {
			signed(t, g, now, fmt.Sprint(i+1), name)
		}
		want(t, "the same taxon under other names", told(t, g, now))
		signed(t, g, now, "8", "Brown job")
		want(t, "words that are no name are no first", told(t, g, now))
		signed(t, g, now, "9", "Boletus hollinbeckensis")
		want(t, "a name that nobody knows may be a synonym", told(t, g, now), "Boletus hollinbeckensis: record Fellshire, possible first voucher+name")
	})
}

func TestNamesAreComparedAsSpecies(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		now := year(t, g, "HB30", "2026-10-23", "2026-10-24")
		brought(t, g, of(store.OfRecord, "Fellshire"), "Amanita muscaria var. guessowii", "Amanita vaginata", "Russula emetica s.l.", "Cortinarius sp.", "Amanita cf. citrina", "Amanita aff. fulva", "Lactarius")
		for i, c := range []struct{ rule, name, first string }{
			{"a variety of it was known", "Amanita muscaria", ""},
			{"its species was known", "Amanita vaginata var. alba", ""},
			{"it was known in the wide sense", "Russula emetica", ""},
			{"a genus alone is never a first", "Inocybe sp.", ""},
			{"a section is never a first", "Amanita sect. Phalloideae", ""},
			{"a genus makes none of its species known", "Cortinarius violaceus", "Cortinarius violaceus: record Fellshire, " + named},
			{"cf. makes nothing known", "Amanita citrina", "Amanita citrina: record Fellshire, " + named},
			{"aff. makes nothing known", "Amanita fulva", "Amanita fulva: record Fellshire, " + named},
			{"what is found as aff. is no first", "Boletus aff. edulis", ""},
			{"what is found as cf. stays possible", "Boletus cf. reticulatus", "Boletus reticulatus: record Fellshire, " + bare},
		} {
			before := told(t, g, now)
			signed(t, g, now, fmt.Sprint(i+1), c.name)
			after := slices.DeleteFunc(told(t, g, now), func(l string) bool { return slices.Contains(before, l) })
			if strings.Join(after, "; ") != c.first {
				t.Errorf("%s: %q, want %q", c.rule, after, c.first)
			}
		}
	})
}

func TestAPossibleFirstBecomesOneWhenItIsConfirmedAndKept(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		now := year(t, g, "HB30", "2026-10-23", "2026-10-24")
		brought(t, g, of(store.OfRecord, "Fellshire"), "Boletus badius")
		id := logged(t, g, now, "1", desk.Field{})
		if _, err := bench.GiveFieldName(t.Context(), g.Hall, g.As[access.Desk], now, g.Command(t), bench.FieldName{Collection: id, Names: []hall.NameInput{{Text: "Boletus edulis"}}}); err != nil {
			t.Fatal(err)
		}
		want(t, "a field name", told(t, g, now), "Boletus edulis: record Fellshire, "+bare)
		kept(t, g, now, "1")
		want(t, "a voucher of what nobody confirmed", told(t, g, now), "Boletus edulis: record Fellshire, "+bare)
		if _, err := bench.SignOff(t.Context(), g.Hall, g.As[access.Identifier], now, g.On(t, 1), bench.Word{Collection: id, Name: hall.NameInput{Text: "Boletus edulis"}, Basis: foray.Bases[0]}); err != nil {
			t.Fatal(err)
		}
		want(t, "confirmed and kept", told(t, g, now), "Boletus edulis: record Fellshire, "+sure)
		if _, err := vouchers.DropVoucher(t.Context(), g.Hall, g.As[access.ListKeeper], now, g.Command(t), vouchers.Word{Number: "1", Words: "eaten by mites"}); err != nil {
			t.Fatal(err)
		}
		want(t, "its voucher is dropped", told(t, g, now), "Boletus edulis: record Fellshire, "+named)
		signed(t, g, now, "2", "Boletus edulis", desk.Field{Site: "NH", Outside: true})
		kept(t, g, now, "2")
		want(t, "another from outside the area is none of it", told(t, g, now), "Boletus edulis: record Fellshire, "+named)
		if _, err := fieldwork.AddRecord(t.Context(), g.Hall, g.As[access.Identifier], now, g.Command(t), fieldwork.Record{Site: "NH", Name: "Amanita muscaria"}); err != nil {
			t.Fatal(err)
		}
		r := told(t, g, now)
		if !slices.Contains(r, "Amanita muscaria: record Fellshire, "+named) && !slices.Contains(r, "Amanita muscaria: record Fellshire, "+bare) {
			t.Errorf("a field record has no voucher: %q", r)
		}
	})
}

func TestEventsBeforeCountForSocietyAndSiteAndNoOthersDo(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		past, same := year(t, g, "HB29", "2025-10-25", "2025-10-26"), year(t, g, "HB31", "2026-10-23", "2026-10-23")
		now, later := year(t, g, "HB30", "2026-10-23", "2026-10-24"), year(t, g, "HB32", "2026-10-24", "2026-10-24")
		site(t, g, past, setup.Site{Code: "UF", Name: "Upper Fell", Permitted: true})
		site(t, g, now, setup.Site{Code: "UP", Name: "upper fell", Permitted: true})
		signed(t, g, past, "1", "Boletus edulis")
		signed(t, g, past, "2", "Xerocomus badius", desk.Field{Site: "UF"})
		logged(t, g, past, "3", desk.Field{})
		signed(t, g, past, "4", "Amanita muscaria", desk.Field{Site: "NH", Outside: true})
		signed(t, g, past, "5", "Amanita fulva", desk.Field{Site: "NH", Cultivated: true})
		signed(t, g, past, "6", "Amanita cf. citrina")
		signed(t, g, same, "1", "Amanita rubescens")
		signed(t, g, later, "1", "Amanita pantherina")
		for i, name := range []string{"Boletus edulis", "Amanita muscaria", "Amanita fulva", "Amanita citrina", "Amanita rubescens", "Amanita pantherina"} {
			signed(t, g, now, fmt.Sprint(i+1), name)
		}
		signed(t, g, now, "8", "Imleria badia", desk.Field{Site: "UP"})
		signed(t, g, now, "9", "Imleria badia", desk.Field{Site: "NH"})
		var all []string
		for _, name := range []string{"Amanita citrina", "Amanita fulva", "Amanita muscaria", "Amanita pantherina", "Amanita rubescens"} {
			all = append(all, name+": society, "+named, name+": site Nether Holt, "+named)
		}
		want(t, "what was confirmed a year before is known, of a site by its name", told(t, g, now), append(all, "Imleria badia: site Nether Holt, "+named)...)
		want(t, "the event of the same day has its own", told(t, g, same)[:1], "Amanita rubescens: society, "+named)
	})
}

func TestAWithdrawnListAndAChangedEventAreMetAtTheNextRead(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		past, now := year(t, g, "HB29", "2025-10-25", "2025-10-26"), year(t, g, "HB30", "2026-10-23", "2026-10-24")
		signed(t, g, past, "1", "Boletus edulis")
		signed(t, g, now, "1", "Amanita muscaria")
		first := []string{"Amanita muscaria: society, " + named, "Amanita muscaria: site Nether Holt, " + named}
		want(t, "before", told(t, g, now), first...)
		list := brought(t, g, of(store.OfSite, "nh"), "Amanita muscaria")
		want(t, "a list of the site by its code, which the society knows too", told(t, g, now))
		withdrawn(t, g, list)
		want(t, "after it was withdrawn", told(t, g, now), first...)
		id := signed(t, g, past, "2", "Amanita muscaria")
		want(t, "found after all a year before", told(t, g, now))
		if _, err := bench.SignOff(t.Context(), g.Hall, g.As[access.Identifier], past, g.On(t, 1), bench.Word{Collection: id, Name: hall.NameInput{Text: "Amanita rubescens"}, Basis: foray.Bases[0]}); err != nil {
			t.Fatal(err)
		}
		want(t, "redetermined", told(t, g, now), first...)
	})
}

// Would catch a name or a code of a secret site, and a title of its list, in anything that everybody may read.
func TestASensitiveSiteLeaksNothing(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		past, now := year(t, g, "HB29", "2025-10-25", "2025-10-26"), year(t, g, "HB30", "2026-10-23", "2026-10-24")
		site(t, g, past, setup.Site{Code: "QZ", Name: "Quillet Wood", Sensitive: true, GridM: 10000, Permitted: true})
		site(t, g, now, setup.Site{Code: "QW", Name: "Quillet Wood", Permitted: true}) // somebody forgot
		site(t, g, now, setup.Site{Code: "VB", Name: "Vicar's Bank", Sensitive: true, GridM: 1000, Permitted: true})
		signed(t, g, past, "1", "Boletus edulis", desk.Field{Site: "QZ"})
		signed(t, g, now, "1", "Amanita muscaria", desk.Field{Site: "QW"})
		signed(t, g, now, "2", "Amanita fulva", desk.Field{Site: "VB"})
		about := of(store.OfSite, "Vicar's Bank")
		about.Title = "Fungi of Vicar's Bank"
		list := table(t, "name,date,locality", "Amanita citrina,1998,Vicar's Bank", "Imleria badia,1999,Quillet Wood")
		if _, err := earlier.Import(t.Context(), g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), about, list, earlier.Options{}); err != nil {
			t.Fatal(err)
		}
		want(t, "the public", told(t, g, now), "Amanita fulva: society, "+named, "Amanita muscaria: society, "+named)
		public, err := earlier.Firsts(t.Context(), g.Hall, access.Nobody, now)
		if err != nil {
			t.Fatal(err)
		}
		csv, err := public.CSV()
		if err != nil {
			t.Fatal(err)
		}
		var marks []hall.First
		var records []hall.EarlierRecord
		err = g.View(t.Context(), access.Nobody, access.ReadPublic, now, func(l *hall.Look) error {
			f, err := l.Firsts()
			if err != nil {
				return err
			}
			marks = append(marks, f.OfKey(g.Hall.SpeciesKey(foray.SlipName{Key: "amanita fulva", Name: "Amanita fulva"}))...)
			records, err = l.EarlierRecords()
			return err
		})
		if err != nil || len(marks) != 1 || len(records) != 3 {
			t.Fatal(marks, records, err)
		}
		answer, err := json.Marshal([]any{public.Taxa, public.Compared, marks, records, string(csv)})
		if err != nil {
			t.Fatal(err)
		}
		for _, secret := range []string{"Quillet", "QZ", "QW", "Vicar", "VB"} {
			if strings.Contains(string(answer), secret) {
				t.Errorf("%q is told: %s", secret, answer)
			}
		}
		whole, err := earlier.AllFirsts(t.Context(), g.Hall, g.As[access.ListKeeper], now)
		if err != nil {
			t.Fatal(err)
		}
		want(t, "who keeps the list", lines(whole), "Amanita fulva: society, "+named, "Amanita fulva: site Vicar's Bank, "+named,
			"Amanita muscaria: society, "+named, "Amanita muscaria: site Quillet Wood, "+named)
		if _, err := earlier.AllFirsts(t.Context(), g.Hall, g.As[access.Desk], now); err == nil {
			t.Error("the desk is told of every site")
		}
	})
}

// A flagged taxon is new to a site, and the public is not told to which.
func TestAProtectedTaxonIsNotToldOfASite(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		past, now := year(t, g, "HB29", "2025-10-25", "2025-10-26"), year(t, g, "HB30", "2026-10-23", "2026-10-24")
		signed(t, g, past, "1", "Boletus edulis")
		if _, err := setup.AddFlag(t.Context(), g.Hall, g.Machine, now, g.Command(t), setup.Flag{Name: "Hericium coralloides", Flag: hall.Protected, Source: "permit"}); err != nil {
			t.Fatal(err)
		}
		signed(t, g, now, "1", "Hericium coralloides")
		want(t, "the public", told(t, g, now), "Hericium coralloides: society, "+named)
	})
}

func TestEarlierRecordsAreTheDatedFindsOfThePastUnderTheNamesOfToday(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		past, now := year(t, g, "HB29", "2025-10-25", "2025-10-26"), year(t, g, "HB30", "2026-10-23", "2026-10-24")
		signed(t, g, past, "1", "Boletus badius")
		signed(t, g, past, "2", "Amanita cf. citrina")
		signed(t, g, now, "1", "Amanita muscaria")
		if _, err := earlier.Import(t.Context(), g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), of(store.OfSociety, ""),
			table(t, "name,date,site,count", "Lepista nuda,Nov 1998,NH,4", "Boletus edulis,,,", "Russula,1999,,"), earlier.Options{}); err != nil {
			t.Fatal(err)
		}
		err := g.View(t.Context(), access.Nobody, access.ReadPublic, now, func(l *hall.Look) error {
			all, err := l.EarlierRecords()
			var got []string
			for _, r := range all {
				got = append(got, fmt.Sprint(r.Name.Name, " ", r.From, " ", r.To, " ", r.Scope, r.Event))
			}
			want(t, "records", got, "Collybia nuda 1998-11-01 1998-11-30 society", "Imleria badia 2025-10-25 2025-10-26 HB29")
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	})
}

// A card index of the society names the site of each find; the list of record of a county may too.
func TestALineThatNamesASiteMakesItKnownThere(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		now := year(t, g, "HB30", "2026-10-23", "2026-10-24")
		for i, name := range []string{"Boletus edulis", "Imleria badia", "Amanita muscaria"} {
			signed(t, g, now, fmt.Sprint(i+1), name)
		}
		bring := func(about earlier.About, lines ...string) {
			t.Helper()
			if _, err := earlier.Import(t.Context(), g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), about, table(t, append([]string{"name,locality"}, lines...)...), earlier.Options{}); err != nil {
				t.Fatal(err)
			}
		}
		bring(of(store.OfRecord, "Fellshire"), "Amanita muscaria,nether holt", "Boletus edulis,Upper Fell", "Imleria badia,")
		want(t, "a list of record that names the site is nothing to compare the site with", told(t, g, now))
		bring(of(store.OfSociety, ""), "Xerocomus badius,NH", "Boletus edulis,Upper Fell", "Amanita muscaria,")
		want(t, "the society's lines of the site are", told(t, g, now), "Boletus edulis: site Nether Holt, "+named)
	})
}
