package keeping_test

import (
	"errors"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/store"
)

// wholeHall adds a row to every table that the day outside, the tables, the closing and the passes fill. No photograph
// lies behind its row here: that a package carries them has its own tests.
func wholeHall(t testing.TB, g *halltest.Ground) {
	t.Helper()
	society, event, by, at := g.Scope.Society, g.Scope.Event, g.As[access.Desk].Person, store.At(g.Hall.Now())
	id := func() foray.ID { return must[foray.ID](t)(g.Hall.NewID()) }
	heads := 12
	if err := g.Store.Write(ctx, func(tx *store.Tx) error {
		teams, err := tx.Teams(society, event)
		if err != nil {
			return err
		}
		tables, err := tx.HallTables(society, event)
		if err != nil {
			return err
		}
		plates, err := tx.Collections(society, event)
		if err != nil {
			return err
		}
		team, walk, pass := teams[0].ID, id(), id()
		driver := store.TeamMember{SocietyID: society, EventID: event, ID: id(), TeamID: team, Name: "Adaeze Marsh", Drives: true, AddedBy: by, AddedAt: at}
		child := store.TeamMember{SocietyID: society, EventID: event, ID: id(), TeamID: team, Name: "Tobi Marsh", Minor: true, GuardianID: driver.ID,
			DriverID: driver.ID, AddedBy: by, AddedAt: at}
		record := store.FieldRecord{SocietyID: society, EventID: event, ID: id(), TeamID: team, ObserverID: by, Verbatim: "Fuligo septica", NameKey: "fuligo septica",
			CurrentKey: "fuligo septica", Name: "Fuligo septica", ChecklistRev: "r", EnteredBy: by, HappenedAt: at, RecordedAt: at}
		incident := store.Incident{SocietyID: society, EventID: event, ID: id(), CollectionID: plates[1].ID, Who: "animal", OpenedBy: by, OpenedAt: at}
		mm := 4.5
		asked := store.Correction{SocietyID: society, EventID: event, ID: id(), Seq: 1, About: store.AboutFind, CollectionID: plates[1].ID, Kind: "name", Words: "a webcap – surely",
			SecretSha256: "ee", RecordedAt: at}
		earlier := store.EarlierList{SocietyID: society, ID: id(), Title: "Hollin Wood 1998–2019", Scope: store.OfSociety, Source: "card index", Lines: 1, AddedBy: by, AddedAt: at}
		account := store.Account{SocietyID: society, ID: id(), PersonID: g.Third.Person}
		accounts, err := tx.Accounts(society)
		if err != nil {
			return err
		}
		for _, a := range accounts {
			if a.PersonID == by {
				account = a
			}
		}
		return errors.Join(
			tx.AddWalk(store.Walk{SocietyID: society, EventID: event, ID: walk, Number: 1, StartsAt: at, DueAt: at, CreatedAt: at}),
			tx.SetTeamPlan(store.TeamPlan{SocietyID: society, EventID: event, TeamID: team, WalkID: walk}),
			tx.AddWalkWishes([]store.WalkWish{{SocietyID: society, EventID: event, PersonID: by, WalkID: walk, Wish: 1, WithWhom: "Åsa", WishedAt: at}}),
			tx.AddTeamMembers([]store.TeamMember{child, driver}),
			tx.SetMemberPrivate(store.MemberPrivate{SocietyID: society, EventID: event, MemberID: child.ID, Medical: "wasps", UpdatedAt: at}),
			tx.AddHeadMarks([]store.HeadMark{{SocietyID: society, EventID: event, ID: id(), TeamID: team, MemberID: child.ID, Kind: "out", MarkedBy: by, HappenedAt: at, RecordedAt: at}}),
			tx.AddHeadCount(store.HeadCount{SocietyID: society, EventID: event, ID: id(), TeamID: team, Kind: "out", Heads: &heads, CountedBy: by, HappenedAt: at, RecordedAt: at}),
			tx.AddNumberBlock(store.NumberBlock{SocietyID: society, EventID: event, ID: id(), FromNumber: 1, ToNumber: 50, TeamID: team, IssuedBy: by, IssuedAt: at}),
			tx.AddNumberFate(store.NumberFate{SocietyID: society, EventID: event, ID: id(), NumberBase: 77, Fate: "spoilt", SaidBy: by, HappenedAt: at, RecordedAt: at}),
			tx.AddCollectionLinks([]store.CollectionLink{{SocietyID: society, EventID: event, ID: id(), Kind: "merge", FromID: plates[0].ID, IntoID: plates[1].ID, LinkedBy: by, RecordedAt: at}}),
			tx.SetFate(plates[0], "merged"),
			changed(tx, society, event, plates[0].ID, at),
			tx.AddFieldRecord(record),
			tx.AddRain([]store.Rain{{SocietyID: society, EventID: event, ID: id(), Day: "2026-10-20", MM: &mm, Source: "gauge", EnteredBy: by, RecordedAt: at}}),
			tx.AddCorrection(asked, store.CorrectionContact{SocietyID: society, EventID: event, CorrectionID: asked.ID, Name: "Dora Vale", Reach: "01632 960001", ShowName: true}),
			tx.AddCorrectionAct(store.CorrectionAct{SocietyID: society, EventID: event, ID: id(), CorrectionID: asked.ID, Seq: 1, Kind: store.CorrectionUnchanged, Words: "looked at again", PersonID: by, RecordedAt: at}),
			tx.AddEarlierList(earlier, []store.EarlierRecord{{SocietyID: society, ListID: earlier.ID, Line: 2, Verbatim: "Boletus badius", NameKey: "boletus badius", Name: "Boletus badius", AsItCame: "Boletus badius"}}),
			tx.AddFieldWord(store.FieldWord{SocietyID: society, EventID: event, ID: id(), RecordID: record.ID, Kind: "stand", PersonID: by, WriterID: by, HappenedAt: at, RecordedAt: at}),
			tx.AddFieldTally(store.FieldTally{SocietyID: society, EventID: event, ID: id(), RecordID: record.ID, N: 3, CountedBy: by, HappenedAt: at, RecordedAt: at}),
			tx.AddIncident(incident),
			tx.AddIncidentNote(store.IncidentNote{SocietyID: society, EventID: event, ID: id(), IncidentID: incident.ID, Words: "rung", NotedBy: by, HappenedAt: at, RecordedAt: at}),
			tx.AddInvitation(store.Invitation{SocietyID: society, ID: id(), EventID: event, SecretSha256: "cc", MadeBy: by, MadeAt: at, ExpiresAt: at}),
			tx.AddHallPass(store.HallPass{SocietyID: society, EventID: event, ID: pass, Held: "desk", SecretSha256: "dd", MostUses: 3, MadeBy: by, MadeAt: at}),
			tx.AddPassUse(store.PassUse{SocietyID: society, EventID: event, PassID: pass, PersonID: by, AccountID: account.ID, UsedAt: at}),
			tx.AddPapers([]store.Paper{{SocietyID: society, EventID: event, ID: id(), Kind: "sheet", Said: "{}", ByHand: true, MadeBy: by, MadeAt: at}}),
			tx.AddSweep(store.Sweep{SocietyID: society, EventID: event, ID: id(), TableID: tables[0].ID, Seen: 2, SweptBy: by, HappenedAt: at, RecordedAt: at}),
			tx.AddPrivateRead(store.PrivateRead{SocietyID: society, ID: id(), EventID: event, PersonID: by, What: "medical", Subject: child.ID, RecordedAt: at}),
			tx.AddTaxonFlag(store.TaxonFlag{SocietyID: society, EventID: event, ID: id(), NameKey: "hericium erinaceus", Name: "Hericium erinaceus", Flag: "protected", Source: "the land manager's letter", AddedBy: by, AddedAt: at}),
			tx.AddClosing(store.Closing{SocietyID: society, EventID: event, ID: id(), Kind: "reopened", Words: "a basket was forgotten", ClosedBy: by, HappenedAt: at, RecordedAt: at}),
			tx.AddCardStock(store.CardStock{SocietyID: society, ID: id(), Name: "A4, 2 × 2", PageWMM: 210, PageHMM: 297, CardWMM: 99.1, CardHMM: 140.25, Columns: 2, Rows: 2, LeftMM: 4.65, CutMarks: true, AddedBy: by, AddedAt: at}),
			tx.SetPersonGroups(society, event, by, []store.PersonGroup{{SocietyID: society, EventID: event, PersonID: by, FormGroup: "bolete", SaidBy: by, SaidAt: at}}),
		)
	}); err != nil {
		t.Fatal(err)
	}
}

// changed is the line of the change log that a use case would have written.
func changed(tx *store.Tx, society, event, plate foray.ID, at store.Stamp) error {
	_, err := tx.AddChanges(society, event, []store.Change{{SocietyID: society, EventID: event, Kind: "collection", Subject: plate, RecordedAt: at}})
	return err
}
