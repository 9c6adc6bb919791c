package photographs_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/photographs"
	"forayhall/internal/media"
	"forayhall/internal/store"
)

var ctx = context.Background()

// logged logs a find of somebody.
func logged(t testing.TB, g *halltest.Ground, number, collector string) foray.ID {
	t.Helper()
	done, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t),
		desk.Log{Number: number, Field: desk.Field{Group: "bolete", Collector: collector, Outside: true}})
	if err != nil {
		t.Fatal(err)
	}
	return done.ID
}

func send(t testing.TB, g *halltest.Ground, by access.Actor, n int, up photographs.Upload) (photographs.Added, error) {
	t.Helper()
	return photographs.Add(ctx, g.Hall, by, g.Scope, g.Command(t), up, bytes.NewReader(halltest.Picture(t, n)))
}

func must(t testing.TB, g *halltest.Ground, by access.Actor, n int, up photographs.Upload) foray.ID {
	t.Helper()
	done, err := send(t, g, by, n, up)
	if err != nil {
		t.Fatal(err)
	}
	return done.Photograph
}

// told is what became of a try: x, or the kind of the refusal.
func told(err error) string {
	if err == nil {
		return "x"
	}
	return fault.From(err).Kind.String()
}

// outside adds a field record and an incident, each of a person's own.
func outside(t testing.TB, g *halltest.Ground, observer, opener access.Actor) (record, incident foray.ID) {
	t.Helper()
	record, incident = foray.ID{15: 7}, foray.ID{15: 8}
	now := store.At(g.Hall.Now())
	if err := g.Store.Write(ctx, func(tx *store.Tx) error {
		if err := tx.AddFieldRecord(store.FieldRecord{SocietyID: g.Scope.Society, EventID: g.Scope.Event, ID: record, ObserverID: observer.Person, EnteredBy: observer.Person,
			Verbatim: "Boletus edulis", NameKey: "boletus edulis", CurrentKey: "boletus edulis", Name: "Boletus edulis", HappenedAt: now, RecordedAt: now}); err != nil {
			return err
		}
		return tx.AddIncident(store.Incident{SocietyID: g.Scope.Society, EventID: g.Scope.Event, ID: incident, What: "stew", Who: "adult", OpenedBy: opener.Person, OpenedAt: now})
	}); err != nil {
		t.Fatal(err)
	}
	return record, incident
}

// TestWhoMayAddAndSeeWhat: the columns are who adds to another's find, its slip, another's field record, an incident;
// and who opens a find's, a slip's and an incident's picture.
func TestWhoMayAddAndSeeWhat(t *testing.T) {
	const drawn = `
visitor          not-signed-in not-signed-in not-signed-in not-signed-in | x not-signed-in not-signed-in
member           not-found     not-allowed   not-allowed   not-found     | x not-found     not-found
team_leader      x             not-allowed   not-allowed   not-found     | x not-found     not-found
desk             x             x             x             not-found     | x x             not-found
scribe           x             not-allowed   not-allowed   not-found     | x not-found     not-found
steward          x             not-allowed   not-allowed   x             | x not-found     x
identifier       x             x             x             not-found     | x x             not-found
chief_identifier x             x             x             not-found     | x x             not-found
safety_lead      not-allowed   not-allowed   not-allowed   x             | x not-found     x
list_keeper      x             x             x             not-found     | x x             not-found
organiser        x             x             x             not-found     | x x             not-found
`
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		logged(t, g, "1", "Mei Adeyemi")
		record, incident := outside(t, g, g.Second, g.As[access.Steward])
		find := must(t, g, g.As[access.Desk], 90, photographs.Upload{Kind: "find", Subject: "1"})
		slip := must(t, g, g.As[access.Desk], 91, photographs.Upload{Kind: "slip", Subject: "1"})
		eaten := must(t, g, g.As[access.Steward], 92, photographs.Upload{Kind: "incident", Subject: incident.String()})
		for i, line := range strings.Split(strings.TrimSpace(drawn), "\n") {
			f := strings.Fields(strings.Replace(line, "|", "", 1))
			who := g.As[access.Right(f[0])]
			number := fmt.Sprint(10 + i)
			logged(t, g, number, "Mei Adeyemi")
			got := []string{f[0]}
			for _, up := range []photographs.Upload{{Kind: "find", Subject: number}, {Kind: "slip", Subject: number}, {Kind: "field", Subject: record.String()}, {Kind: "incident", Subject: incident.String()}} {
				_, err := send(t, g, who, i, up)
				got = append(got, told(err))
			}
			for _, id := range []foray.ID{find, slip, eaten} {
				o, err := photographs.Open(ctx, g.Hall, who, g.Scope, id, photographs.Small)
				if err == nil {
					o.Body.Close()
				}
				got = append(got, told(err))
			}
			if strings.Join(got, " ") != strings.Join(f, " ") {
				t.Errorf("\n got %s\nwant %s", strings.Join(got, " "), strings.Join(f, " "))
			}
		}
	})
}

func TestAMemberAddsToTheirOwnFindsAndRecordsOnly(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		logged(t, g, "1", "Person member")
		record, _ := outside(t, g, g.As[access.Member], g.Second)
		must(t, g, g.As[access.Member], 1, photographs.Upload{Kind: "find", Subject: "HB26 0001"})
		must(t, g, g.As[access.Member], 2, photographs.Upload{Kind: "field", Subject: record.String()})
		if _, err := send(t, g, g.As[access.Member], 3, photographs.Upload{Kind: "slip", Subject: "1"}); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("a slip: %v", err)
		}
		for name, up := range map[string]photographs.Upload{"a kind that is none": {Kind: "portrait", Subject: "1"}, "a number that is none": {Kind: "find", Subject: "x"},
			"a number that is not there": {Kind: "find", Subject: "77"}, "a long caption": {Kind: "find", Subject: "1", Caption: strings.Repeat("ü", 201)}} {
			if _, err := send(t, g, g.As[access.Member], 3, up); err == nil || fault.Is(err, fault.Internal) {
				t.Errorf("%s: %v", name, err)
			}
		}
	})
}

// TestSentAgainItIsThereOnce: a phone that did not hear the answer sends again, and a person presses twice.
func TestSentAgainItIsThereOnce(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		logged(t, g, "1", "")
		up := photographs.Upload{Kind: "find", Subject: "1", Caption: " cut \n through", Taken: "2026-10-24T11:20:05"}
		cmd := g.Command(t)
		already := false
		var ids []foray.ID
		for range 2 {
			cmd.Already = &already
			done, err := photographs.Add(ctx, g.Hall, g.As[access.Desk], g.Scope, cmd, up, bytes.NewReader(halltest.Picture(t, 1)))
			if err != nil {
				t.Fatal(err)
			}
			ids = append(ids, done.Photograph)
		}
		ids = append(ids, must(t, g, g.As[access.Desk], 1, up))
		all, err := photographs.SeeAll(ctx, g.Hall, g.As[access.Desk], g.Scope, "0001")
		if err != nil || len(all) != 1 || ids[0] != ids[1] || ids[1] != ids[2] || !already {
			t.Fatalf("%d photographs, ids %v, already %t, %v", len(all), ids, already, err)
		}
		// The camera's clock shows the event's time: half past eleven there is half past ten in UTC.
		if p := all[0]; p.Caption != "cut through" || p.By != "Person desk" || p.Width != 640 || !p.TakenAt.Equal(time.Date(2026, 10, 24, 10, 20, 5, 0, time.UTC)) {
			t.Errorf("%+v", p)
		}
		if _, err := photographs.Add(ctx, g.Hall, g.As[access.Desk], g.Scope, cmd, up, bytes.NewReader(halltest.Picture(t, 2))); !fault.Is(err, fault.Mismatch) {
			t.Errorf("the id again with another picture: %v", err)
		}
	})
}

func TestThereIsRoomForTwelveAndHidingOneMakesRoom(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		logged(t, g, "1", "")
		by := g.As[access.Steward]
		first := must(t, g, by, 0, photographs.Upload{Kind: "find", Subject: "1"})
		for n := 1; n < photographs.Most; n++ {
			must(t, g, by, n, photographs.Upload{Kind: "find", Subject: "1"})
		}
		if _, err := send(t, g, by, 50, photographs.Upload{Kind: "find", Subject: "1"}); fault.From(err).Fields[media.Field].Key != "photograph.full" {
			t.Errorf("the thirteenth: %v", err)
		}
		hide := func(by access.Actor, reason string) error {
			_, err := photographs.Hide(ctx, g.Hall, by, g.Scope, g.Command(t), photographs.Hidden{Photograph: first, Reason: reason})
			return err
		}
		if err := hide(by, " "); fault.From(err).Fields["reason"].IsZero() {
			t.Errorf("without a reason: %v", err)
		}
		if err := hide(g.As[access.Scribe], "not mine"); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("another's: %v", err)
		}
		if err := hide(by, "a face is in it"); err != nil {
			t.Fatal(err)
		}
		if err := hide(g.As[access.SafetyLead], "again"); !fault.Is(err, fault.Refused) {
			t.Errorf("again: %v", err)
		}
		must(t, g, by, 50, photographs.Upload{Kind: "find", Subject: "1"})
		for _, who := range []access.Actor{access.Nobody, by, g.As[access.Organiser]} {
			if o, err := photographs.Open(ctx, g.Hall, who, g.Scope, first, photographs.Full); err == nil {
				o.Body.Close()
				t.Errorf("a hidden picture opens for %v", who)
			}
		}
		if err := g.Store.Read(ctx, func(tx *store.Tx) error {
			p, err := tx.PhotographByID(g.Scope.Society, g.Scope.Event, first)
			if err == nil && (p.HiddenWhy != "a face is in it" || p.HiddenBy != by.Person) {
				t.Errorf("the row says %+v", p)
			}
			return err
		}); err != nil {
			t.Fatal(err)
		}
	})
}

func TestEachOpeningOfAPrivatePictureIsWrittenDownAndNoOther(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		logged(t, g, "1", "")
		find := must(t, g, g.As[access.Desk], 1, photographs.Upload{Kind: "find", Subject: "1"})
		slip := must(t, g, g.As[access.Desk], 2, photographs.Upload{Kind: "slip", Subject: "1"})
		for _, id := range []foray.ID{find, slip, slip} {
			o, err := photographs.Open(ctx, g.Hall, g.As[access.Identifier], g.Scope, id, photographs.Full)
			if err != nil {
				t.Fatal(err)
			}
			data, err := io.ReadAll(o.Body)
			o.Body.Close()
			if err != nil || int64(len(data)) != o.Size || o.Private != (id == slip) {
				t.Errorf("%d bytes of %d, private %t, %v", len(data), o.Size, o.Private, err)
			}
		}
		for _, bad := range []string{"", "huge", "../full"} {
			if _, err := photographs.Open(ctx, g.Hall, g.As[access.Desk], g.Scope, find, bad); !fault.Is(err, fault.NotFound) {
				t.Errorf("size %q: %v", bad, err)
			}
		}
		err := g.Store.Read(ctx, func(tx *store.Tx) error {
			reads, err := tx.PrivateReads(g.Scope.Society, g.Scope.Event)
			if len(reads) != 2 || reads[0].Subject != slip || reads[0].PersonID != g.As[access.Identifier].Person || reads[0].What != "photograph" {
				t.Errorf("written down: %+v", reads)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	})
}

// TestWhatIsRefusedLeavesNothing: a bomb, a text and a person without the right write neither blob nor row.
func TestWhatIsRefusedLeavesNothing(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		logged(t, g, "1", "Mei Adeyemi")
		up := photographs.Upload{Kind: "find", Subject: "1"}
		for name, data := range map[string][]byte{"nothing": nil, "a text": []byte("<svg onload=alert(1)>"), "half a picture": halltest.Picture(t, 1)[:4000],
			"too many bytes": bytes.Repeat([]byte{0xff}, media.MaxBytes+1)} {
			_, err := photographs.Add(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), up, bytes.NewReader(data))
			if fault.From(err).Fields[media.Field].IsZero() {
				t.Errorf("%s: %v", name, err)
			}
		}
		read := &counter{bytes.NewReader(halltest.Picture(t, 1)), 0}
		if _, err := photographs.Add(ctx, g.Hall, g.As[access.Member], g.Scope, g.Command(t), up, read); !fault.Is(err, fault.NotFound) || read.n > 0 {
			t.Errorf("without the right: %v, after %d bytes", err, read.n)
		}
		blobs := 0
		if err := g.Blobs.Walk(ctx, func(media.Blob) error { blobs++; return nil }); err != nil || blobs > 0 {
			t.Errorf("%d blobs, %v", blobs, err)
		}
		g.Hall.Blobs = nil
		if _, err := send(t, g, g.As[access.Desk], 1, up); !fault.Is(err, fault.Refused) {
			t.Errorf("without a place: %v", err)
		}
	})
}

type counter struct {
	r io.Reader
	n int
}

func (c *counter) Read(b []byte) (int, error) {
	n, err := c.r.Read(b)
	c.n += n
	return n, err
}

func TestPicturesOfTheSameNameLieBesideOneAnother(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		names := map[string]string{"1": "Boletus edulis", "2": "Boletus edulis", "3": "Boletus edulis", "4": "Imleria badia"}
		for number, name := range names {
			id := logged(t, g, number, "Mei Adeyemi")
			in := bench.FieldName{Collection: id, Names: []hall.NameInput{{Text: name}}}
			if _, err := bench.GiveFieldName(ctx, g.Hall, g.Second, g.Scope, g.Command(t), in); err != nil {
				t.Fatal(err)
			}
			if number == "3" {
				if _, err := bench.SignOff(ctx, g.Hall, g.Second, g.Scope, g.On(t, 1), bench.Word{Collection: id, Name: hall.NameInput{Text: name}, Basis: "macroscopic"}); err != nil {
					t.Fatal(err)
				}
			}
		}
		for i, number := range []string{"1", "2", "2", "3", "4"} {
			must(t, g, g.Second, i, photographs.Upload{Kind: "find", Subject: number})
		}
		must(t, g, g.Second, 9, photographs.Upload{Kind: "slip", Subject: "1"})
		b, err := photographs.SeeBeside(ctx, g.Hall, access.Nobody, g.Scope, foray.Number{Base: 1})
		if err != nil || len(b.Find) != 1 || len(b.Slip) != 0 || len(b.Piles) != 1 {
			t.Fatalf("a visitor sees %+v, %v", b, err)
		}
		var got []string
		for _, p := range b.Piles[0].Pictures {
			got = append(got, p.Number+" "+p.State)
		}
		if want := "0003 confirmed, 0002 provisional"; strings.Join(got, ", ") != want {
			t.Errorf("beside 0001 lie %v, want %s", got, want)
		}
		if b, err := photographs.SeeBeside(ctx, g.Hall, g.Second, g.Scope, foray.Number{Base: 1}); err != nil || len(b.Slip) != 1 {
			t.Errorf("an identifier sees %+v, %v", b, err)
		}
		record, _ := outside(t, g, g.Second, g.Second)
		must(t, g, g.Second, 20, photographs.Upload{Kind: "field", Subject: record.String()})
		all, err := photographs.SeeTaxon(ctx, g.Hall, access.Nobody, g.Scope, "Boletus edulis")
		if err != nil || len(all) != 5 || all[0].Number != "0003" || all[4].Kind != photographs.OfField {
			t.Errorf("the name's pictures: %+v, %v", all, err)
		}
	})
}

func TestAPictureIsSignedAsItsTakerChose(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		logged(t, g, "1", "Person member")
		must(t, g, g.As[access.Member], 1, photographs.Upload{Kind: "find", Subject: "1"})
		if err := g.Store.Write(ctx, func(tx *store.Tx) error { return tx.SetCredit(g.Scope.Society, g.As[access.Member].Person, "none") }); err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct {
			who  access.Actor
			want string
		}{{access.Nobody, ""}, {g.As[access.Desk], "Person member"}} {
			all, err := photographs.SeeAll(ctx, g.Hall, c.who, g.Scope, "")
			if err != nil || len(all) != 1 || all[0].By != c.want {
				t.Errorf("%+v, %v, want by %q", all, err, c.want)
			}
		}
		own, err := photographs.SeeOwn(ctx, g.Hall, g.As[access.Member], g.Scope)
		if err != nil || len(own["0001"]) != 1 || !own["0001"][0].MayHide {
			t.Errorf("own: %+v, %v", own, err)
		}
	})
}

func TestBlobsThatNoRowNamesAreClearedOutOnceTheyAreOld(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		logged(t, g, "1", "")
		kept := must(t, g, g.As[access.Desk], 1, photographs.Upload{Kind: "find", Subject: "1"})
		p, err := media.Prepare(ctx, bytes.NewReader(halltest.Picture(t, 2)))
		if err != nil {
			t.Fatal(err)
		}
		for _, one := range []media.Picture{p.Full, p.Small} {
			if err := g.Blobs.Put(ctx, one.SHA256, one.Data); err != nil {
				t.Fatal(err)
			}
		}
		if n, err := photographs.ClearBlobs(ctx, g.Hall, time.Now().Add(-photographs.Unnamed)); n != 0 || err != nil {
			t.Errorf("cleared %d that were put just now, %v", n, err)
		}
		if n, err := photographs.ClearBlobs(ctx, g.Hall, time.Now().Add(time.Minute)); n != 2 || err != nil {
			t.Errorf("cleared %d, want the two that no row names, %v", n, err)
		}
		for _, size := range []string{photographs.Full, photographs.Small} {
			o, err := photographs.OpenPublic(ctx, g.Hall, g.Scope, kept, size)
			if err != nil {
				t.Fatalf("what a row names is gone: %v", err)
			}
			o.Body.Close()
		}
	})
}

func TestUploadsWaitForAPlaceAndAreToldWhenThereIsNone(t *testing.T) {
	var all []func()
	for {
		short, cancel := context.WithTimeout(ctx, 20*time.Millisecond)
		done, err := photographs.Receive(short)
		cancel()
		if err != nil {
			if !fault.Is(err, fault.TooMany) {
				t.Errorf("no place: %v", err)
			}
			break
		}
		all = append(all, done)
	}
	if len(all) < 2 {
		t.Errorf("room for %d at once", len(all))
	}
	for _, done := range all {
		done()
	}
	done, err := photographs.Receive(ctx)
	if err != nil {
		t.Fatalf("no place though all were given back: %v", err)
	}
	done()
}
