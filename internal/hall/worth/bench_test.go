package worth_test

import (
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/worth"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
	"forayhall/internal/taxon"
)

// national is a foray of 1,500 signed collections by 20 teams, at which everything was recorded: all figures are made,
// those that are drawn at random among them.
func national(b *testing.B) *halltest.Ground {
	g := halltest.New(b, storetest.New(b, store.SQLite))
	room, err := setup.See(ctx, g.Hall, g.As[access.Organiser], g.Scope)
	if err != nil {
		b.Fatal(err)
	}
	details := setup.DetailsOf(room.Event)
	details.EverythingRecorded = true
	if _, err := setup.ChangeEvent(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(b), details); err != nil {
		b.Fatal(err)
	}
	for i := range 20 {
		if _, err := setup.AddTeam(ctx, g.Hall, g.Machine, g.Scope, g.Command(b), setup.Team{Number: i + 1}); err != nil {
			b.Fatal(err)
		}
	}
	if err := g.Store.Write(ctx, func(tx *store.Tx) error { return fill(g, tx, 1500) }); err != nil {
		b.Fatal(err)
	}
	return g
}

func fill(g *halltest.Ground, tx *store.Tx, n int) error {
	var names []string
	for _, family := range []string{"Russulaceae", "Boletaceae", "Cortinariaceae", "Amanitaceae", "Inocybaceae", "Mycenaceae", "Hygrophoraceae"} {
		if n, ok := g.Knowledge.Names.Lookup(taxon.Key(family)); ok {
			for _, m := range g.Knowledge.Names.Members(n) {
				names = append(names, m.Name)
			}
		}
	}
	teams, err := tx.Teams(g.Scope.Society, g.Scope.Event)
	if err != nil {
		return err
	}
	at, by := store.At(g.Hall.Now()), g.As[access.Identifier].Person
	collections, slips, histories := make([]store.Collection, n), make([]foray.Slip, n), make([]store.NamingHistory, n)
	for i := range n {
		id, err := g.NewID()
		if err != nil {
			return err
		}
		slip, err := g.NewID()
		if err != nil {
			return err
		}
		name := names[(i*i/7)%len(names)]
		collections[i] = store.Collection{SocietyID: g.Scope.Society, EventID: g.Scope.Event, ID: id, NumberBase: i + 1, FormGroup: "bolete", TeamID: teams[i*13%len(teams)].ID,
			Naming: foray.Confirmed, Whereabouts: foray.AtDesk, Version: 1, LoggedBy: by, HappenedAt: at, RecordedAt: at, Host: []string{"Fagus", "Betula", "Pinus"}[i%3]}
		slips[i] = foray.Slip{ID: slip, CollectionID: id, Seq: 1, Kind: foray.SignOff, Determiner: by, Writer: by, HappenedAt: at.Time, RecordedAt: at.Time, Basis: foray.Bases[0],
			Names: []foray.SlipName{{Rank: 1, Verbatim: name, Key: taxon.Key(name), Name: name, NameRank: string(taxon.Species)}}}
		histories[i] = store.NamingHistory{SocietyID: g.Scope.Society, EventID: g.Scope.Event, CollectionID: id, Seq: 1, Naming: foray.Confirmed, RecordedAt: at}
	}
	if err := tx.AddCollections(collections); err != nil {
		return err
	}
	if err := tx.AddSlips(g.Scope.Society, g.Scope.Event, slips); err != nil {
		return err
	}
	if err := tx.AddNamingHistories(histories); err != nil {
		return err
	}
	_, err = tx.AddChanges(g.Scope.Society, g.Scope.Event, []store.Change{{SocietyID: g.Scope.Society, EventID: g.Scope.Event, Kind: "personal", Subject: g.Scope.Event, RecordedAt: at}})
	return err
}

// BenchmarkWorth makes every figure, and beside it the list that they are made from.
func BenchmarkWorth(b *testing.B) {
	g := national(b)
	var bare time.Duration
	n := 0
	for b.Loop() {
		b.StopTimer()
		begun := time.Now()
		if _, err := list.See(ctx, g.Hall, access.Nobody, g.Scope); err != nil {
			b.Fatal(err)
		}
		bare += time.Since(begun)
		n++
		b.StartTimer()
		d, err := worth.See(ctx, g.Hall, access.Nobody, g.Scope)
		if err != nil || d.Collections != 1500 || len(d.Effective) == 0 {
			b.Fatalf("%d collections, %v", d.Collections, err)
		}
	}
	b.ReportMetric(float64(b.Elapsed())/float64(bare), "of-the-list")
	b.ReportMetric(float64(bare.Milliseconds())/float64(n), "list-ms")
}
