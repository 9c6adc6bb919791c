package store_test

import (
	"context"
	"errors"
	"reflect"
	"testing"

	"forayhall/internal/foray"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// hallRows adds one row to each table of the whole hall.
func hallRows(t *testing.T, tx *store.Tx, person store.Person, event store.Event, from, into store.Collection) error {
	t.Helper()
	society, ev, by, at := event.SocietyID, event.ID, person.ID, store.At(now)
	heads, north := 12, 53.1
	team := store.Team{SocietyID: society, EventID: ev, ID: id(t), Number: 4, CreatedAt: at}
	walk := store.Walk{SocietyID: society, EventID: ev, ID: id(t), Number: 1, StartsAt: at, DueAt: at, CreatedAt: at}
	table := store.HallTable{SocietyID: society, EventID: ev, ID: id(t), Number: 9, PlanXMM: 1200, PlanYMM: 300, CreatedAt: at}
	driver := store.TeamMember{SocietyID: society, EventID: ev, ID: id(t), TeamID: team.ID, Name: "Adaeze Marsh", Drives: true, AddedBy: by, AddedAt: at}
	child := store.TeamMember{SocietyID: society, EventID: ev, ID: id(t), TeamID: team.ID, Name: "Tobi Marsh", Minor: true,
		GuardianID: driver.ID, DriverID: driver.ID, AddedBy: by, AddedAt: at}
	record := store.FieldRecord{SocietyID: society, EventID: ev, ID: id(t), ObserverID: by, Verbatim: "Fuligo septica", ChecklistRev: "r", EnteredBy: by, HappenedAt: at, RecordedAt: at}
	incident := store.Incident{SocietyID: society, EventID: ev, ID: id(t), CollectionID: from.ID, Who: "animal", OpenedBy: by, OpenedAt: at}
	dryer := store.Dryer{SocietyID: society, EventID: ev, ID: id(t), Name: "A", Trays: "1\n2", Places: 8, AddedBy: by, AddedAt: at}
	tube := store.VoucherCode{SocietyID: society, EventID: ev, ID: id(t), CollectionID: into.ID, Kind: foray.Tissue, Code: "P3-A04", CodeKey: "p3a04", Dated: "2026-10-24", TakenBy: by, WrittenBy: by, HappenedAt: at, RecordedAt: at}
	asked := store.Correction{SocietyID: society, EventID: ev, ID: id(t), Seq: 1, About: store.AboutFind, CollectionID: into.ID, Kind: "name", Words: "a webcap", SecretSha256: "c", RecordedAt: at}
	return errors.Join(
		tx.AddTeam(team), tx.AddWalk(walk), tx.AddHallTable(table), tx.SetTeamPlan(store.TeamPlan{SocietyID: society, EventID: ev, TeamID: team.ID, WalkID: walk.ID}),
		tx.AddWalkWishes([]store.WalkWish{{SocietyID: society, EventID: ev, PersonID: by, WalkID: walk.ID, Wish: 1, WishedAt: at}}),
		tx.AddTeamMembers([]store.TeamMember{child, driver}),
		tx.SetMemberPrivate(store.MemberPrivate{SocietyID: society, EventID: ev, MemberID: child.ID, Medical: "wasps", UpdatedAt: at}),
		tx.AddHeadMarks([]store.HeadMark{{SocietyID: society, EventID: ev, ID: id(t), TeamID: team.ID, MemberID: child.ID, Kind: "out", MarkedBy: by, HappenedAt: at, RecordedAt: at}}),
		tx.AddHeadCount(store.HeadCount{SocietyID: society, EventID: ev, ID: id(t), TeamID: team.ID, Kind: "out", Heads: &heads, CountedBy: by, HappenedAt: at, RecordedAt: at}),
		tx.AddNumberBlock(store.NumberBlock{SocietyID: society, EventID: ev, ID: id(t), FromNumber: 1, ToNumber: 50, TeamID: team.ID, IssuedBy: by, IssuedAt: at}),
		tx.AddNumberFate(store.NumberFate{SocietyID: society, EventID: ev, ID: id(t), NumberBase: 7, Fate: "spoilt", SaidBy: by, HappenedAt: at, RecordedAt: at}),
		tx.AddCollectionLinks([]store.CollectionLink{{SocietyID: society, EventID: ev, ID: id(t), Kind: "merge", FromID: from.ID, IntoID: into.ID, LinkedBy: by, RecordedAt: at}}),
		tx.SetFate(from, "merged"),
		tx.AddFieldRecord(record),
		tx.AddFieldWord(store.FieldWord{SocietyID: society, EventID: ev, ID: id(t), RecordID: record.ID, Kind: "stand", PersonID: by, WriterID: by, HappenedAt: at, RecordedAt: at}),
		tx.AddFieldTally(store.FieldTally{SocietyID: society, EventID: ev, ID: id(t), RecordID: record.ID, N: 3, CountedBy: by, HappenedAt: at, RecordedAt: at}),
		tx.AddIncident(incident),
		tx.AddIncidentNote(store.IncidentNote{SocietyID: society, EventID: ev, ID: id(t), IncidentID: incident.ID, Words: "rung", NotedBy: by, HappenedAt: at, RecordedAt: at}),
		tx.AddPhotograph(store.Photograph{SocietyID: society, EventID: ev, ID: id(t), Kind: "find", CollectionID: into.ID, Sha256: "aa", SmallSha256: "bb", Width: 4, Height: 3, Bytes: 9, Latitude: &north, Longitude: &north, TakenBy: by, RecordedAt: at}),
		tx.AddInvitation(store.Invitation{SocietyID: society, ID: id(t), EventID: ev, SecretSha256: "cc", MadeBy: by, MadeAt: at, ExpiresAt: at}),
		tx.AddHallPass(store.HallPass{SocietyID: society, EventID: ev, ID: id(t), Held: "desk", SecretSha256: "dd", MostUses: 3, MadeBy: by, MadeAt: at}),
		tx.AddPapers([]store.Paper{{SocietyID: society, EventID: ev, ID: id(t), Kind: "card", CollectionID: into.ID, Said: "Boletus", ByHand: true, MadeBy: by, MadeAt: at}}),
		tx.AddSweep(store.Sweep{SocietyID: society, EventID: ev, ID: id(t), TableID: table.ID, Seen: 2, SweptBy: by, HappenedAt: at, RecordedAt: at}),
		tx.AddPrivateRead(store.PrivateRead{SocietyID: society, ID: id(t), EventID: ev, PersonID: by, What: "medical", Subject: child.ID, RecordedAt: at}),
		tx.AddTaxonFlag(store.TaxonFlag{SocietyID: society, EventID: ev, ID: id(t), NameKey: "hericium erinaceus", Name: "Hericium erinaceus", Flag: "protected", Source: "the land manager's letter", AddedBy: by, AddedAt: at}),
		tx.SetPersonGroups(society, ev, by, []store.PersonGroup{{SocietyID: society, EventID: ev, PersonID: by, FormGroup: "bolete", SaidBy: by, SaidAt: at}}),
		tx.AddOwnEntries([]store.OwnEntry{{SocietyID: society, ID: id(t), Kind: store.OwnHazard, Name: "Suillus luteus", Scope: "all", Syndrome: "gut", Exposure: "meal", Evidence: "reported", Source: "minutes", WrittenBy: by, HappenedAt: at, RecordedAt: at}}),
		tx.AddCardStock(store.CardStock{SocietyID: society, ID: id(t), Name: "A4, 2 × 2", PageWMM: 210, PageHMM: 297, CardWMM: 99.1, CardHMM: 140, Columns: 2, Rows: 2, LeftMM: 4.65, GapXMM: 2.5, CutMarks: true, AddedBy: by, AddedAt: at}),
		addEarlier(t, tx, society, by),
		tx.AddDryer(dryer), tx.AddDryerReading(store.DryerReading{SocietyID: society, EventID: ev, ID: id(t), DryerID: dryer.ID, Celsius: 38.5, ReadBy: by, HappenedAt: at, RecordedAt: at}),
		tx.AddVoucherWord(store.VoucherWord{SocietyID: society, EventID: ev, ID: id(t), CollectionID: into.ID, Kind: foray.VoucherChosen, Reason: foray.ForHazard, Fruitbodies: &heads, Tissue: true, SaidBy: by, HappenedAt: at, RecordedAt: at}),
		tx.AddRain([]store.Rain{{SocietyID: society, EventID: ev, ID: id(t), Day: "2026-10-20", MM: &north, Source: "gauge", EnteredBy: by, RecordedAt: at}}),
		tx.AddVoucherCode(tube), tx.AddVoucherCode(store.VoucherCode{SocietyID: society, EventID: ev, ID: id(t), CollectionID: into.ID, Kind: foray.Tissue, Replaces: tube.ID, Words: "another plate's", WrittenBy: by, HappenedAt: at, RecordedAt: at}),
		tx.AddCorrection(asked, store.CorrectionContact{SocietyID: society, EventID: ev, CorrectionID: asked.ID, Name: "Dora Vale", Reach: "01632 960001", ShowName: true}),
		tx.AddCorrectionAct(store.CorrectionAct{SocietyID: society, EventID: ev, ID: id(t), CorrectionID: asked.ID, Seq: 1, Kind: store.CorrectionUnchanged, Words: "looked at again", PersonID: by, RecordedAt: at}),
		tx.AddClosing(store.Closing{SocietyID: society, EventID: ev, ID: id(t), Kind: "hall", HazardsCounted: 4, ClosedBy: by, HappenedAt: at, RecordedAt: at}),
	)
}

// TestRowsOfTheWholeHallComeBackAsStored would catch a field that is not a column, or is another on one database.
func TestRowsOfTheWholeHallComeBackAsStored(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		person, event := ground(t, s, "hollinbeck")
		from, into := find(t, person, event, 1), find(t, person, event, 2)
		write(t, s, func(tx *store.Tx) error {
			return errors.Join(tx.AddCollection(from), tx.AddCollection(into), hallRows(t, tx, person, event, from, into))
		})
		read(t, s, func(tx *store.Tx) error {
			society, ev := event.SocietyID, event.ID
			members, err := tx.TeamMembers(society, ev, foray.ID{})
			if err != nil || len(members) != 2 {
				t.Fatalf("%d members, %v", len(members), err)
			}
			private, err := tx.MemberPrivates(society, ev, members[0].TeamID)
			if err != nil || len(private) != 1 || private[0].Medical != "wasps" {
				t.Errorf("private: %+v, %v", private, err)
			}
			tables, err := tx.HallTables(society, ev)
			if err != nil || len(tables) != 1 || tables[0].PlanXMM != 1200 || tables[0].PlanYMM != 300 || tables[0].LengthMM != 1830 {
				t.Errorf("tables: %+v, %v", tables, err)
			}
			old, err := tx.CollectionByNumber(society, ev, foray.Number{Base: 1})
			if err != nil || old.Fate != "merged" {
				t.Errorf("the merged one is %q, %v", old.Fate, err)
			}
			asked, err := tx.OpenIncidentOn(society, ev, from.ID)
			if err != nil || !asked {
				t.Errorf("no open incident on the plate: %v", err)
			}
			found, err := tx.EventByID(society, ev)
			if err != nil || found.RingMin != 15 || found.SilenceMin != 90 {
				t.Errorf("event: %+v, %v", found, err)
			}
			for name, rows := range map[string]func() (any, error){
				"walks":   func() (any, error) { return tx.Walks(society, ev) },
				"wishes":  func() (any, error) { return tx.WalkWishes(society, ev) },
				"plans":   func() (any, error) { return tx.TeamPlans(society, ev) },
				"marks":   func() (any, error) { return tx.HeadMarks(society, ev, members[0].TeamID) },
				"counts":  func() (any, error) { return tx.HeadCounts(society, ev, foray.ID{}) },
				"blocks":  func() (any, error) { return tx.NumberBlocks(society, ev) },
				"fates":   func() (any, error) { return tx.NumberFates(society, ev) },
				"links":   func() (any, error) { return tx.CollectionLinks(society, ev) },
				"records": func() (any, error) { return tx.FieldRecords(society, ev) },
				"words":   func() (any, error) { return tx.FieldWords(society, ev) },
				"tallies": func() (any, error) { return tx.FieldTallies(society, ev) },
				"photos":  func() (any, error) { return tx.Photographs(society, ev) },
				"invited": func() (any, error) { return tx.Invitations(society) },
				"passes":  func() (any, error) { return tx.HallPasses(society, ev) },
				"papers":  func() (any, error) { return tx.PapersStanding(society, ev) },
				"sweeps":  func() (any, error) { return tx.Sweeps(society, ev) },
				"reads":   func() (any, error) { return tx.PrivateReads(society, ev) },
				"flags":   func() (any, error) { return tx.TaxonFlags(society, ev) },
				"groups":  func() (any, error) { return tx.PersonGroups(society, ev) },
				"entries": func() (any, error) { return tx.OwnEntries(society) },
				"stocks":  func() (any, error) { return tx.CardStocks(society) },
				"closed":  func() (any, error) { return tx.Closings(society, ev) },
				"dryers":  func() (any, error) { return tx.Dryers(society, ev) },
				"heat":    func() (any, error) { return tx.DryerReadings(society, ev) },
				"kept":    func() (any, error) { return tx.VoucherWords(society, ev, foray.ID{}) },
			} {
				if got, err := rows(); err != nil || reflect.ValueOf(got).Len() != 1 {
					t.Errorf("%s: %+v, %v", name, got, err)
				}
			}
			return nil
		})
		if err := s.Read(context.Background(), func(tx *store.Tx) error { _, err := tx.Check(); return err }); err != nil {
			t.Error(err)
		}
	})
}
