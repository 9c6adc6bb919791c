package earlier_test

import (
	"context"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// filler writes whole events into the store, as an import of the past does.
type filler struct {
	g     *halltest.Ground
	names []string
	turn  int
}

// event is an event with so many confirmed plates.
func (f *filler) event(t testing.TB, code, day string, plates int) access.Scope {
	t.Helper()
	ctx := context.Background()
	made, err := setup.AddEvent(ctx, f.g.Hall, f.g.Machine, access.Scope{Society: f.g.Scope.Society}, f.g.Command(t),
		setup.Event{Code: code, Name: code, StartsOn: day, EndsOn: day, TimeZone: "Europe/London", Region: "EU"})
	if err != nil {
		t.Fatal(err)
	}
	scope := access.Scope{Society: f.g.Scope.Society, Event: made.ID}
	for _, s := range []setup.Site{{Code: "NH", Name: "Nether Holt", Permitted: true}, {Code: "UF", Name: "Upper Fell", Permitted: true}} {
		if _, err := setup.AddSite(ctx, f.g.Hall, f.g.Machine, scope, f.g.Command(t), s); err != nil {
			t.Fatal(err)
		}
	}
	err = f.g.Store.Write(ctx, func(tx *store.Tx) error {
		sites, err := tx.Sites(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		return f.plates(tx, scope, sites, plates)
	})
	if err != nil {
		t.Fatal(err)
	}
	return scope
}

func (f *filler) plates(tx *store.Tx, scope access.Scope, sites []store.Site, n int) error {
	at := store.At(f.g.Hall.Now())
	collections, slips, histories := make([]store.Collection, n), make([]foray.Slip, n), make([]store.NamingHistory, n)
	by := f.g.As[access.Identifier].Person
	for i := range n {
		id, err := f.g.NewID()
		if err != nil {
			return err
		}
		slip, err := f.g.NewID()
		if err != nil {
			return err
		}
		f.turn += 7
		name := f.names[f.turn%len(f.names)]
		collections[i] = store.Collection{SocietyID: scope.Society, EventID: scope.Event, ID: id, NumberBase: i + 1, FormGroup: "bolete", SiteID: sites[i%len(sites)].ID,
			Naming: foray.Confirmed, Whereabouts: foray.AtDesk, Version: 1, LoggedBy: by, HappenedAt: at, RecordedAt: at}
		slips[i] = foray.Slip{ID: slip, CollectionID: id, Seq: 1, Kind: foray.SignOff, Determiner: by, Writer: by, HappenedAt: at.Time, RecordedAt: at.Time, Basis: foray.Bases[0],
			Names: []foray.SlipName{{Rank: 1, Verbatim: name, Key: taxon.Key(name), Name: name, NameRank: string(taxon.Species)}}}
		histories[i] = store.NamingHistory{SocietyID: scope.Society, EventID: scope.Event, CollectionID: id, Seq: 1, Naming: foray.Confirmed, RecordedAt: at}
	}
	if err := tx.AddCollections(collections); err != nil {
		return err
	}
	if err := tx.AddSlips(scope.Society, scope.Event, slips); err != nil {
		return err
	}
	return tx.AddNamingHistories(histories)
}
