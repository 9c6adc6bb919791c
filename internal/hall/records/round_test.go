package records_test

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/fieldwork"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/records"
	"forayhall/internal/hall/setup"
	"forayhall/internal/store"
)

// unpacked reads an archive with the reader that imports use.
func unpacked(t *testing.T, data []byte) *archive.Finds {
	t.Helper()
	f, err := archive.ReadFinds(context.Background(), archive.ChecklistFile("archive.zip", bytes.NewReader(data), int64(len(data))))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// beside makes another society with an event of the same code and days, and gives its scope and the machine there.
func (d played) beside(t *testing.T, like hall.Address) (access.Scope, access.Actor) {
	t.Helper()
	ctx := context.Background()
	code := strings.ToLower("skelder-" + like.Event.Code)
	id, err := setup.AddSociety(ctx, d.Hall, code, "Skelder Moss Naturalists "+code)
	if err != nil {
		t.Fatal(err)
	}
	machine, err := d.desk.Installation(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	made, err := setup.AddEvent(ctx, d.Hall, machine, access.Scope{Society: id}, d.command(t), setup.Event{Code: like.Event.Code, Name: like.Event.Name,
		Place: like.Event.Place, StartsOn: like.Event.StartsOn, EndsOn: like.Event.EndsOn, TimeZone: like.Event.TimeZone, Region: like.Event.Region})
	if err != nil {
		t.Fatal(err)
	}
	return access.Scope{Society: id, Event: made.ID}, machine
}

// What cannot come in equal: what a row says of its dataset and its event, which are others here, with the walk and its
// effort; photographs, which are not fetched; and that words were withheld, which are not there to be withheld again.
var cannot = strings.Fields("eventID parentEventID eventType samplingEffort datasetID datasetName rightsHolder references associatedMedia informationWithheld")

// sameStar holds two archives against each other, row by row and cell by cell.
func sameStar(t *testing.T, first, second archive.Star) {
	t.Helper()
	samePart(t, first.Core, second.Core)
	for i, part := range first.Extensions {
		if part.RowType != archive.MultimediaRows {
			samePart(t, part, second.Extensions[i])
		}
	}
}

func samePart(t *testing.T, a, b archive.StarPart) {
	t.Helper()
	if len(a.Rows) != len(b.Rows) {
		t.Fatalf("%s: %d rows, then %d", a.File, len(a.Rows), len(b.Rows))
	}
	skip := map[int]bool{}
	for _, term := range cannot {
		skip[a.Column(term)] = true
	}
	for i := range a.Rows {
		for j, term := range a.Terms {
			if !skip[j] && a.Rows[i][j] != b.Rows[i][j] {
				t.Errorf("%s row %d %s: %q, then %q", a.File, i, term, a.Rows[i][j], b.Rows[i][j])
			}
		}
	}
}

// Would catch anything that an archive says and that is lost, changed or invented on its way in: names, who gave them and
// when, their order, disputes, what was struck, characters, places with their uncertainty, ids.
func TestWhatWasExportedOfTheDemoComesInEqual(t *testing.T) {
	eachDemo(t, func(t *testing.T, d played) {
		ctx := context.Background()
		for _, event := range []string{"HB25", "HB26"} {
			from := d.at(t, "hollinbeck", event)
			star, data, done := packed(t, d.Hall, from.Scope, records.ArchiveOptions{})
			scope, machine := d.beside(t, from)
			out, err := records.ImportArchive(ctx, d.Hall, machine, scope, hall.Command{}, unpacked(t, data), records.Options{})
			if err != nil || out.Taken != done.Records || len(out.Refused) != 0 {
				t.Fatalf("%s: %d of %d taken, refused %v, %v", event, out.Taken, done.Records, out.Refused, err)
			}
			again, _, _ := packed(t, d.Hall, scope, records.ArchiveOptions{Licence: star.About.Licence.Key})
			sameStar(t, star, again)
			twice, err := records.ImportArchive(ctx, d.Hall, machine, scope, hall.Command{}, unpacked(t, data), records.Options{})
			if err != nil || twice.Taken != 0 {
				t.Errorf("%s brought again: %d taken, %v", event, twice.Taken, err)
			}
			err = d.Store.Read(ctx, func(tx *store.Tx) error {
				checked, err := tx.Check()
				if len(checked.Broken) > 0 {
					t.Errorf("%s: %v", event, checked.Broken)
				}
				return err
			})
			if err != nil {
				t.Error(err)
			}
		}
	})
}

func reasoned(t *testing.T, g *halltest.Ground, p hall.Plate, words string) {
	t.Helper()
	names := bench.FieldName{Collection: p.ID, Remarks: words, Names: []hall.NameInput{{Text: "Boletus edulis", Reason: words}, {Text: "Imleria badia", Reason: words}}}
	if _, err := bench.GiveFieldName(context.Background(), g.Hall, g.As[access.Desk], g.Scope, g.Command(t), names); err != nil {
		t.Fatal(err)
	}
}

func pictured(t *testing.T, g *halltest.Ground, p hall.Plate, caption string) {
	t.Helper()
	id, err := g.NewID()
	if err != nil {
		t.Fatal(err)
	}
	sha := strings.Repeat("ab", 32)
	err = g.Store.Write(context.Background(), func(tx *store.Tx) error {
		return tx.AddPhotograph(store.Photograph{SocietyID: g.Scope.Society, EventID: g.Scope.Event, ID: id, Kind: "find", CollectionID: p.ID, Sha256: sha, SmallSha256: sha,
			Width: 10, Height: 10, Bytes: 10, Caption: caption, TakenBy: g.As[access.Desk].Person, RecordedAt: store.At(g.Now())})
	})
	if err != nil {
		t.Fatal(err)
	}
}

// oddText is text that a careless writer or reader spoils: quotes, tabs, line ends of every kind, marks of direction, what
// a spreadsheet runs, the separators of the archive itself.
func oddText(random *rand.Rand) string {
	pieces := []string{"\"", "\t", "\n", "\r\n", "\r", ",", ";", "=1+1", "@x", "-2", "é", "ß", "日本", "\u2028", "\u0085", "\u200f", "𝒳", "<b>&amp;", "'", "a", " ", "| ", "why: ", "; ", "\\n", "\"\""}
	var b strings.Builder
	b.WriteByte('x') // what is only blank is nothing
	for range random.IntN(12) {
		b.WriteString(pieces[random.IntN(len(pieces))])
	}
	b.WriteByte('y')
	return b.String()
}

func TestOddTextSurvivesTheWayOutAndIn(t *testing.T) {
	random := rand.New(rand.NewPCG(2026, 10))
	var want [][]string
	star := archive.Star{Core: archive.StarPart{RowType: archive.OccurrenceRows, File: "occurrence.txt",
		Terms: []string{archive.Darwin("occurrenceID"), archive.Darwin("occurrenceRemarks"), archive.Darwin("habitat")}},
		Extensions: []archive.StarPart{{RowType: archive.MeasurementRows, File: "facts.txt", Terms: []string{"", archive.Darwin("measurementType"), archive.Darwin("measurementValue")}}},
		About:      archive.Dataset{ID: "x", Version: "0.1", Language: "eng", Title: oddText(random)}}
	for i := range 2000 {
		row := []string{fmt.Sprint("id ", i), oddText(random), oddText(random)}
		want = append(want, row)
		star.Core.Rows = append(star.Core.Rows, row)
		star.Extensions[0].Rows = append(star.Extensions[0].Rows, []string{row[0], oddText(random), row[1]})
	}
	var b bytes.Buffer
	if err := archive.WriteStar(&b, star); err != nil {
		t.Fatal(err)
	}
	read := unpacked(t, b.Bytes())
	if len(read.Rows) != len(want) {
		t.Fatalf("%d rows, want %d", len(read.Rows), len(want))
	}
	for i, row := range read.Rows {
		if row.ID != want[i][0] || row.Terms["occurrenceRemarks"] != want[i][1] || row.Terms["habitat"] != want[i][2] ||
			len(row.Measurements) != 1 || row.Measurements[0]["measurementValue"] != want[i][1] || row.Measurements[0]["measurementType"] != star.Extensions[0].Rows[i][1] {
			t.Fatalf("row %d: %q, want %q", i, row.Terms, want[i])
		}
	}
}

// What the demo has not: odd words, a voucher with its accession and sequence, somebody who is not named, an id that is
// taken, a record that was only seen.
func TestWhatIsRareComesInEqualToo(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ctx := context.Background()
		scope := past(t, g)
		odd := "x=1\ty \"z\"\nsecond line; and: more"
		log := desk.Log{Number: "7", Field: desk.Field{Group: "bolete", Remarks: odd, Host: `Quercus "robur"`, Substrate: "wood_fallen", Growth: "tuft", Outside: true},
			Characters: []desk.Character{{Character: "cut_change", Words: "blue", Seconds: ptr(20)}, {Character: "odour", Words: odd}}}
		made, err := desk.LogCollection(ctx, g.Hall, g.Machine, scope, g.Command(t), log)
		if err != nil {
			t.Fatal(err)
		}
		quiet := g.As[access.Identifier]
		write(t, g, func(tx *store.Tx) error { return tx.SetCredit(scope.Society, quiet.Person, "none") })
		give(t, g, scope, quiet, access.Identifier)
		word := bench.Word{Collection: made.ID, Basis: "microscopy", Remarks: "spores; why: not"}
		word.Name = hall.NameInput{Text: "Boletus edulis", Qualifier: "cf."}
		if _, err := bench.SignOff(ctx, g.Hall, quiet, scope, g.On(t, 0), word); err != nil {
			t.Fatal(err)
		}
		keep(t, g, scope, made.ID)
		tasted(t, g, scope, made.ID)
		if _, err := fieldwork.AddRecord(ctx, g.Hall, quiet, scope, g.Command(t), fieldwork.Record{Name: "Fomes fomentarius", Substrate: "wood_standing", Host: "Betula", Count: 4, Remarks: odd}); err != nil {
			t.Fatal(err)
		}
		star, data, done := packed(t, g.Hall, scope, records.ArchiveOptions{Licence: "CC0-1.0"})
		if done.Records != 2 || done.Fields != 1 {
			t.Fatalf("%+v", done)
		}
		for name, text := range members(t, data) {
			if strings.Contains(text, "acrid") {
				t.Errorf("what somebody tasted is in %s", name)
			}
		}
		c := star.Core
		for term, want := range map[string]string{"basisOfRecord": "PreservedSpecimen", "catalogNumber": "E00417", "institutionCode": "E", "identificationQualifier": "cf. edulis",
			"associatedSequences": "ITS: MN1234 (GenBank) | LSU: MN1230 (GenBank)", "otherCatalogNumbers": "accession of a part KRAM 77 b | collector's number Kerr 17", "identifiedBy": "", "associatedTaxa": `"host":"Quercus \"robur\""`, "identificationVerificationStatus": "confirmed"} {
			if got := c.Rows[0][c.Column(term)]; got != want {
				t.Errorf("%s: %q, want %q", term, got, want)
			}
		}
		_, _, outsider := g.Another(t, "skelder", "Skelder Moss Naturalists")
		there := another(t, g, outsider, scope)
		out, err := records.ImportArchive(ctx, g.Hall, outsider, there, hall.Command{}, unpacked(t, data), records.Options{})
		if err != nil || out.Taken != 2 || !strings.Contains(said(out.Notes), "not named") {
			t.Fatalf("%+v %v: %s", out.Refused, err, said(out.Notes))
		}
		again, _, _ := packed(t, g.Hall, there, records.ArchiveOptions{Licence: "CC0-1.0"})
		sameStar(t, star, again)
		// In a society where the finds are already, they get ids of their own.
		more := access.Scope{Society: scope.Society, Event: yet(t, g).Event}
		out, err = records.ImportArchive(ctx, g.Hall, g.Machine, more, hall.Command{}, unpacked(t, data), records.Options{AutoNumbers: true})
		if err != nil || out.Taken != 2 || !strings.Contains(said(out.Notes), "2 finds got ids of the hall") {
			t.Errorf("beside itself: %d taken, %v: %s", out.Taken, err, said(out.Notes))
		}
	})
}

// tasted writes a taste down past every form: none offers it.
func tasted(t *testing.T, g *halltest.Ground, scope access.Scope, collection foray.ID) {
	t.Helper()
	id, err := g.NewID()
	if err != nil {
		t.Fatal(err)
	}
	write(t, g, func(tx *store.Tx) error {
		return tx.AddCharacterNotes([]store.CharacterNote{{SocietyID: scope.Society, EventID: scope.Event, ID: id, CollectionID: collection, Character: "taste", Words: "acrid",
			NotedBy: g.Machine.Person, HappenedAt: store.At(g.Now()), RecordedAt: store.At(g.Now())}})
	})
}

func ptr(n int) *int { return &n }

func write(t *testing.T, g *halltest.Ground, fn func(*store.Tx) error) {
	t.Helper()
	if err := g.Store.Write(context.Background(), fn); err != nil {
		t.Fatal(err)
	}
}

func give(t *testing.T, g *halltest.Ground, scope access.Scope, who access.Actor, right access.Right) {
	t.Helper()
	if _, err := setup.GiveRight(context.Background(), g.Hall, g.Machine, scope, g.Command(t), setup.Right{Person: who.Person, Right: right}); err != nil {
		t.Fatal(err)
	}
}

// keep makes a plate a voucher whose accession and sequence came back.
func keep(t *testing.T, g *halltest.Ground, scope access.Scope, collection foray.ID) {
	t.Helper()
	by, at := g.Machine.Person, store.At(g.Now())
	id := func() foray.ID {
		id, err := g.NewID()
		if err != nil {
			t.Fatal(err)
		}
		return id
	}
	write(t, g, func(tx *store.Tx) error {
		for _, w := range []store.VoucherWord{{Kind: foray.VoucherChosen, Reason: foray.ForMaterial}, {Kind: foray.VoucherPacked}, {Kind: foray.VoucherSent, Institution: "E"}} {
			w.SocietyID, w.EventID, w.ID, w.CollectionID, w.SaidBy, w.HappenedAt, w.RecordedAt = scope.Society, scope.Event, id(), collection, by, at, at
			if err := tx.AddVoucherWord(w); err != nil {
				return err
			}
		}
		for i, c := range []store.VoucherCode{{Kind: foray.Accession, Code: "E00417", CodeKey: "e00417", HeldAt: "E"}, {Kind: foray.Accession, Code: "77 b", CodeKey: "77b", HeldAt: "KRAM"}, {Kind: foray.OwnNumber, Code: "Kerr 17", CodeKey: "kerr17"},
			{Kind: foray.Sequence, Code: "MN1234", CodeKey: "mn1234", Marker: "ITS", HeldAt: "GenBank"}, {Kind: foray.Sequence, Code: "MN1230", CodeKey: "mn1230", Marker: "LSU", HeldAt: "GenBank"}} {
			c.SocietyID, c.EventID, c.ID, c.CollectionID, c.WrittenBy, c.HappenedAt, c.RecordedAt = scope.Society, scope.Event, id(), collection, by, at, store.At(at.Add(time.Duration(i)*time.Second))
			if err := tx.AddVoucherCode(c); err != nil {
				return err
			}
		}
		return nil
	})
}

// another is an event of another society with the code and days of one that is there.
func another(t *testing.T, g *halltest.Ground, machine access.Actor, like access.Scope) access.Scope {
	t.Helper()
	var e store.Event
	err := g.Store.Read(context.Background(), func(tx *store.Tx) (err error) { e, err = tx.EventByID(like.Society, like.Event); return err })
	if err != nil {
		t.Fatal(err)
	}
	made, err := setup.AddEvent(context.Background(), g.Hall, machine, access.Scope{Society: machine.Society}, g.Command(t), setup.Event{Code: e.Code, Name: e.Name,
		Place: e.Place, StartsOn: e.StartsOn, EndsOn: e.EndsOn, TimeZone: e.TimeZone, Region: e.Region})
	if err != nil {
		t.Fatal(err)
	}
	return access.Scope{Society: machine.Society, Event: made.ID}
}

func yet(t *testing.T, g *halltest.Ground) access.Scope {
	t.Helper()
	made, err := setup.AddEvent(context.Background(), g.Hall, g.Machine, access.Scope{Society: g.Scope.Society}, g.Command(t), setup.Event{Code: "HB23", Name: "Foray",
		StartsOn: "2023-10-12", TimeZone: "Europe/London", Region: "EU"})
	if err != nil {
		t.Fatal(err)
	}
	return access.Scope{Society: g.Scope.Society, Event: made.ID}
}
