package pages_test

import (
	"errors"
	"net/http"
	"net/url"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
	"forayhall/internal/store"
)

func TestANumberIsFoundAsItIsWrittenOnTheLabel(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g)).furnish()
		b := f.at[access.Visitor]
		for typed, want := range map[string]string{"213": "/n/0213", "0213": "/n/0213", "HB26 0213": "/n/0213", "hb26-213": "/n/0213",
			f.s.server.URL + event + "/n/0213": "/n/0213", event + "/c/0213": "/n/0213"} {
			if b.get(event + "/find?number=" + url.QueryEscape(typed)); b.status != http.StatusSeeOther || b.location != event+want {
				t.Errorf("%q answers %d and leads to %q", typed, b.status, b.location)
			}
		}
		b.get(event+"/find?number=999").want(http.StatusNotFound, "No collection of HB26 bears the number 0999")
		b.get(event + "/find?number=HB25+0213").want(http.StatusUnprocessableEntity)
		b.get(event+"/find?number=").want(http.StatusUnprocessableEntity, "Type the number")
		b.get(event + "/find?number=" + url.QueryEscape("<b>x")).want(http.StatusUnprocessableEntity)
		if got := b.typed(event+"/find", "number"); got != "<b>x" {
			t.Errorf("what was typed comes back as %q", got)
		}
		b.get(event+"/find").want(http.StatusOK, "Find a number").not("Not taken")
	})
}

func TestOneCollectionSaysWhatAnybodyMayKnow(t *testing.T) {
	f := onSQLite(t).furnish()
	b := f.at[access.Visitor]
	b.get(event+"/n/0213").want(http.StatusOK, "Amanita phalloides", "confirmed", "Deadly", "3 Hazards", "Site Alder Carr", "Determined by Person second", "Notice this")
	b.get(event+"/n/0210").want(http.StatusOK, "brought in", "No name yet: treat it as poisonous", "Collector Mei Adeyemi").not("under the footbridge", "by the weir", "browner")
	b.get(event+"/n/0214").want(http.StatusOK, "disputed", "Kuehneromyces mutabilis", "Galerina marginata", "not settled").not("radish")
	b.get(event+"/n/0212").want(http.StatusOK, "Names in question", "Field name").not("seen with a lens")
	if history := b.section("history"); contains(history, "scaly below the ring") || !contains(history, "Kuehneromyces mutabilis") {
		t.Errorf("a reason is told, or the name is not: %s", history)
	}
	b.get(event+"/n/0215").want(http.StatusOK, "Taken back by whoever wrote it").not("another plate was meant")
	b.get(event+"/n/0217").want(http.StatusOK, "cannot be named")
	b.get(event+"/n/0219").want(http.StatusOK, "Boletus hollinbeckensis", "No entry")
	f.unnamed("Person second")
	b.get(event+"/n/0213").want(http.StatusOK, "somebody who chose not to be named").not("Person second")
}

func TestWhatIsGoneOrNoFungusIsSaidPlainly(t *testing.T) {
	f := onSQLite(t).furnish()
	b := f.at[access.Visitor]
	f.notFungus("210")
	b.get(event+"/n/0210").want(http.StatusOK, "This is not a fungus.").not("Deadly", "treat it as poisonous", "Warnings")
	b.get(event + "/tables").not("0210 Deadly")
	for where, says := range map[foray.Whereabouts]string{foray.Discarded: "thrown away", foray.Lost: "Nobody knows where the plate is", foray.SentTo: "sent to somebody"} {
		if _, err := tables.PlacePlate(t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope, f.s.Command(t), tables.Place{Collection: f.plate("213").ID, Where: where, With: "Quiet Specialist"}); err != nil {
			t.Fatal(err)
		}
		b.get(event+"/n/0213").want(http.StatusOK, says, "Amanita phalloides").not("Quiet Specialist")
	}
}

func TestASplitNumberAsksWhichPart(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g)).furnish()
		b := f.at[access.Visitor]
		for _, n := range []string{"0137a", "0137b"} {
			if _, err := desk.LogCollection(t.Context(), g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: n, Field: desk.Field{Group: "bolete", Team: "1"}}); err != nil {
				t.Fatal(err)
			}
		}
		b.get(event+"/n/0137").want(http.StatusOK, "Which part is it?", "0137a", "0137b")
		b.get(event + "/find?number=137")
		if b.location != event+"/n/0137" {
			t.Errorf("the split number leads to %q", b.location)
		}
		f.split(212, "0137a", "0137b")
		b.get(event+"/n/0212").want(http.StatusOK, "This number was split.", "Which part is it?", "0137a", "0137b").not("Warnings")
		b.get(event + "/t/Galerina_marginata").want(http.StatusOK).not("0212")
	})
}

// split marks a collection as split into others, as the desk does.
func (f *floor) split(number int, parts ...string) {
	f.t.Helper()
	whole := f.plate(foray.Number{Base: number}.String())
	err := f.s.Store.Write(f.t.Context(), func(tx *store.Tx) error {
		if err := tx.SetFate(whole.Collection, "split"); err != nil {
			return err
		}
		var links []store.CollectionLink
		for _, part := range parts {
			links = append(links, store.CollectionLink{SocietyID: f.s.Scope.Society, EventID: f.s.Scope.Event, ID: f.s.Command(f.t).ID, Kind: "split",
				FromID: whole.ID, IntoID: f.plate(part).ID, LinkedBy: f.s.As[access.Desk].Person, RecordedAt: store.At(f.s.Now())})
		}
		return errors.Join(tx.AddCollectionLinks(links), f.changed(tx, "collection", whole.ID))
	})
	if err != nil {
		f.t.Fatal(err)
	}
}

func TestATaxonIsShownUnderItsCurrentNameWithWhereItStands(t *testing.T) {
	f := onSQLite(t).furnish()
	b := f.at[access.Visitor]
	b.get(event+"/t/Amanita_phalloides").want(http.StatusOK, "1 collection here", "0213", "3 Hazards", "Deadly", "Family Amanitaceae", "Former names", "Agaricus phalloides")
	b.get(event+"/t/Agaricus_phalloides").want(http.StatusOK, "Asked for under a former name: Agaricus phalloides", "0213")
	b.get(event+"/t/Cortinarius").want(http.StatusOK, "0218", "Deadly")
	b.get(event+"/t/Amanitaceae").want(http.StatusOK, "Within it, here", "Amanita phalloides", "Amanita citrina")
	b.get(event+"/t/Amanita_citrina").want(http.StatusOK, "0216", "cf.")
	b.get(event+"/t/boletus_hollinbeckensis").want(http.StatusOK, "does not know this one", "0219", "could be one of its members")
	b.get(event+"/t/Boletus_edulis").want(http.StatusOK, "0215", "Notice this")
	b.get(event+"/t/Morchella_esculenta").want(http.StatusOK, "bears this name so far")
	b.get(event+"/t/Amanita_phalloides").want(http.StatusOK, "Said am-uh-NYE-tuh fal-oh-EYE-deez", "Finds of this society", "1 find at all its forays", "Finds by year",
		"2026 1 0", "Finds by site", "Alder Carr 1 0", "Finds by host", "No host was said 1 0", "Names it was determined under here", "Kingdom Fungi", "Moved to another genus or rank.",
		"Source: from memory", "Words in these texts", "sac at the base", "Dictionary of the Fungi")
	b.get(event+"/t/Amanita_citrina").want(http.StatusOK, "cf.", "0 1")
	b.get(event+"/t/Lycoperdon").want(http.StatusOK, "Experts do not agree: The puffballs are put in Agaricaceae by many lists.")
	b.get(event+"/t/Morchella_esculenta").want(http.StatusOK, "None of its forays has a find under this name")
	for _, name := range []string{"Nowhere_atall", "form:bolete", "%00", "_", "bolete"} {
		b.get(event + "/t/" + name).want(http.StatusNotFound)
	}
}

// The sheet is the same for everybody, and is asked for again once another of the society's events has changed.
func TestTheSheetOfANameIsKeptUntilAnyEventOfTheSocietyChanges(t *testing.T) {
	f := onSQLite(t).furnish()
	sheet := func() (tag, page string) {
		b := f.at[access.Organiser]
		resp, err := b.client.Get(f.s.server.URL + event + "/t/Boletus_edulis")
		if err != nil {
			t.Fatal(err)
		}
		defer resp.Body.Close()
		return resp.Header.Get("ETag"), b.get(event + "/t/Boletus_edulis").body
	}
	first, page := sheet()
	if visitor := f.at[access.Visitor].get(event + "/t/Boletus_edulis").body; visitor != page || first == "" {
		t.Errorf("an organiser has another sheet than a visitor, tag %q", first)
	}
	made, err := setup.AddEvent(t.Context(), f.s.Hall, f.s.Machine, access.Scope{Society: f.s.Scope.Society}, f.s.Command(t), setup.Event{Code: "HB27", Name: "Spring foray",
		Place: "Hollinbeck Hall", StartsOn: "2027-04-24", EndsOn: "2027-04-25", TimeZone: "Europe/London", Region: "EU"})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := setup.AddSite(t.Context(), f.s.Hall, f.s.Machine, access.Scope{Society: f.s.Scope.Society, Event: made.ID}, f.s.Command(t), setup.Site{Code: "X", Name: "Fern Clough", Permitted: true}); err != nil {
		t.Fatal(err)
	}
	if again, _ := sheet(); again == first {
		t.Error("the tag is the same after another event of the society changed")
	}
}

func TestATableSaysWhereADoubleStands(t *testing.T) {
	f := onSQLite(t).furnish()
	f.signed("212", f.s.Second, "Kuehneromyces mutabilis", "")
	f.stands(212, 2, "A2")
	b := f.at[access.Visitor]
	b.get(event+"/tables/2").want(http.StatusOK, "0212", "Kuehneromyces mutabilis", "confirmed", "determined by Person second", "is mistaken for Galerina marginata",
		"its double stands on table 2 Small brown ones", "All tables", "Table 1", "Table 3")
	b.get(event+"/tables/3").want(http.StatusOK, "Out of a child's reach", "Amanita phalloides").not("its double stands on table 3")
	b.get(event+"/tables/1").want(http.StatusOK, "Boletus edulis")
	b.get(event + "/tables/9").want(http.StatusNotFound)
}

func TestAMemberNamesTheirOwnFindsAndNobodyElses(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g)).furnish()
		b := f.at[access.Member]
		b.get(event+"/mine").want(http.StatusOK, "0219", "Boletus hollinbeckensis", "confirmed").not("0213")
		b.get(event+"/mine?name=0219").want(http.StatusOK).send(event+"/mine/0219", "name_1", "").want(http.StatusUnprocessableEntity)
		b.send(event+"/mine/0219", "name_1", "Boletus edulis", "reason_1", "net on the stem").want(http.StatusSeeOther)
		if b.location != event+"/mine#own-0219" {
			t.Errorf("led to %q", b.location)
		}
		b.get(event+"/mine").want(http.StatusOK, "Boletus edulis").not("0213")
		before := f.seq()
		b.post(event+"/mine/0213", url.Values{"command": {g.Command(t).ID.String()}, "name_1": {"Boletus edulis"}}).want(http.StatusNotFound)
		f.at[access.Organiser].post(event+"/mine/0213", url.Values{"command": {g.Command(t).ID.String()}, "name_1": {"Boletus edulis"}}).want(http.StatusNotFound)
		if f.seq() != before {
			t.Error("somebody else's collection was named here")
		}
	})
}

func TestASocietysPageListsItsEventsOnly(t *testing.T) {
	f := onSQLite(t)
	f.at[access.Visitor].get("/fernhollow").want(http.StatusOK, "Fernhollow Fungus Group", "Autumn foray").not("Hollinbeck Fungus Society")
	f.at[access.Visitor].get("/nowhere").want(http.StatusNotFound)
}

// notFungus says of a collection that it is none.
func (f *floor) notFungus(number string) {
	f.t.Helper()
	b := f.at[access.ChiefIdentifier]
	b.get(event + "/c/0" + number)
	b.send(event+"/c/0"+number+"/nameless", "kind", "not_fungus").want(http.StatusSeeOther)
}
