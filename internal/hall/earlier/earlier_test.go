package earlier_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/hall/earlier"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/store"
)

func table(t testing.TB, lines ...string) *archive.Table {
	t.Helper()
	read, err := archive.ReadListTable(context.Background(), strings.NewReader(strings.Join(lines, "\n")), "list.csv")
	if err != nil {
		t.Fatal(err)
	}
	return read
}

// of is a list of a society, a site or an area.
func of(scope, place string) earlier.About {
	a := earlier.About{Title: "List of " + scope + " " + place, Scope: scope, Source: "Naylor (2020), Proceedings 3: 1–14"}
	if scope == store.OfSite {
		a.Site = place
	} else {
		a.Area = place
	}
	return a
}

// brought takes in a list of names.
func brought(t testing.TB, g *halltest.Ground, about earlier.About, names ...string) earlier.Outcome {
	t.Helper()
	out, err := earlier.Import(context.Background(), g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), about,
		table(t, append([]string{"name"}, names...)...), earlier.Options{AsWritten: true})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func withdrawn(t testing.TB, g *halltest.Ground, list earlier.Outcome) {
	t.Helper()
	if _, err := earlier.Withdraw(context.Background(), g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), earlier.Withdrawal{List: list.List, Reason: "another edition"}); err != nil {
		t.Fatal(err)
	}
}

func see(t testing.TB, g *halltest.Ground) earlier.Room {
	t.Helper()
	room, err := earlier.See(context.Background(), g.Hall, g.As[access.ListKeeper], g.Scope)
	if err != nil {
		t.Fatal(err)
	}
	return room
}

// mark is what a write of any kind would move.
func mark(t *testing.T, g *halltest.Ground) string {
	t.Helper()
	var seen string
	err := g.View(t.Context(), g.Machine, access.ReadPublic, g.Scope, func(l *hall.Look) error {
		sum, err := l.Tx.ChangeSeqs(g.Scope.Society)
		if err != nil {
			return err
		}
		audits, err := l.Tx.Audits(g.Scope.Society, g.Scope.Event, 10000)
		if err != nil {
			return err
		}
		lines, err := l.Tx.CountRows("earlier_record")
		seen = fmt.Sprint(sum, len(audits), lines)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return seen
}

// Would catch a name that is guessed, one that is dropped because nobody knows it, and a dry run that writes.
func TestADryRunTellsWhatEveryNameIsReadAsAndWritesNothing(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		before := mark(t, g)
		read := table(t, "name,author,date,leg",
			"Imleria badia,,1998,B. Lund", "Boletus badius,(Fr.) Fr.,1999,", "Amanita muscara,,,", "Inventaria nova,,,", "A. muscaria,,,", "Amanita muscaria,,,", ",,,", "Russula sp.,,2031,")
		out, err := earlier.DryRun(t.Context(), g.Hall, g.As[access.Organiser], g.Scope, of(store.OfSociety, ""), read, earlier.Options{})
		if err != nil {
			t.Fatal(err)
		}
		names := func(all []earlier.ReadName) (s []string) {
			for _, n := range all {
				s = append(s, strings.Trim(n.Written+" "+n.Read+" "+n.Now, " "))
			}
			return s
		}
		for what, c := range map[string]struct {
			got  []string
			want string
		}{
			"a synonym tells what it is called now":     {names(out.Former), "Boletus badius Boletus badius Imleria badia"},
			"a misspelling is asked back":               {names(out.Asked), "Amanita muscara Amanita muscaria"},
			"an unknown name is kept and told":          {names(out.Unknown), "Inventaria nova"},
			"lines are counted":                         {[]string{fmt.Sprint(out.Rows, out.Lines, out.Matched, out.Synonyms)}, "7 6 3 1"},
			"the period is what the lines say":          {[]string{out.PeriodOf.From.Format("2006"), out.PeriodOf.To.Format("2006")}, "1998 1999"},
			"what cannot be taken has its line and why": {[]string{fmt.Sprint(len(out.Refused), out.Refused[0].Line), out.Refused[0].Reason.Key}, "1 9 archive.date-future"},
		} {
			if got := strings.Join(c.got, " "); got != c.want {
				t.Errorf("%s: %q, want %q", what, got, c.want)
			}
		}
		if after := mark(t, g); after != before {
			t.Errorf("the dry run wrote: %s, was %s", after, before)
		}
	})
}

// Would catch half a list, a misspelling that is taken without a word, and a refused row that is left out without one.
func TestAListIsTakenWholeOrNotAtAll(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		about, before := of(store.OfSociety, ""), mark(t, g)
		read := table(t, "name,occurrenceStatus", "Boletus edulis,present", "Amanita muscara,present", "Russula emetica,absent")
		send := func(opts earlier.Options) (earlier.Outcome, error) {
			return earlier.Import(t.Context(), g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), about, read, opts)
		}
		for want, opts := range map[string]earlier.Options{"earlier.asked": {LeaveOut: true}, "earlier.refused": {AsWritten: true}} {
			if _, err := send(opts); fault.From(err).Text.Key != want || !fault.Is(err, fault.Invalid) {
				t.Errorf("want %s: %v", want, err)
			}
		}
		if after := mark(t, g); after != before {
			t.Errorf("a list that was not taken wrote: %s, was %s", after, before)
		}
		out, err := send(earlier.Options{LeaveOut: true, Take: []string{"Amanita muscara"}})
		if err != nil || out.Lines != 2 || out.List.IsZero() {
			t.Fatal(out, err)
		}
		p, err := earlier.Lines(t.Context(), g.Hall, g.As[access.ListKeeper], g.Scope, out.List, 0)
		if err != nil || len(p.Lines) != 2 || p.Next != 0 {
			t.Fatal(p, err)
		}
		if l := p.Lines[1]; l.Verbatim != "Amanita muscara" || l.Name != "Amanita muscaria" || l.AsItCame != "Amanita muscara,present" || l.Line != 3 || p.List.Header != "name,occurrenceStatus" {
			t.Errorf("the line is kept as %+v under %q", l.EarlierRecord, p.List.Header)
		}
	})
}

func TestEveryPartOfALineIsKept(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		out, err := earlier.Import(t.Context(), g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), of(store.OfSite, "Nether Holt"),
			table(t, "scientificName,identificationQualifier,eventDate,locality,individualCount,recordedBy,identifiedBy,associatedTaxa,substrate,occurrenceRemarks,shelf",
				"Russula emetica,cf. emetica,12–13 Oct 1998,Nether Holt N,c. 20,B. Lund,A. Kerr,Pinus,litter,one bank,B7"), earlier.Options{})
		if err != nil {
			t.Fatal(err)
		}
		p, err := earlier.Lines(t.Context(), g.Hall, g.As[access.Desk], g.Scope, out.List, 0)
		if err != nil || len(p.Lines) != 1 {
			t.Fatal(p, err)
		}
		l := p.Lines[0]
		got := []string{l.Qualifier, l.DayText, l.Place, l.NText, l.Collector, l.Determiner, l.Host, l.Substrate, l.Remarks}
		want := []string{"cf.", "12–13 Oct 1998", "Nether Holt N", "c. 20", "B. Lund", "A. Kerr", "Pinus", "litter", "one bank"}
		if !slices.Equal(got, want) || l.N != nil || !strings.HasSuffix(l.AsItCame, ",B7") || l.Now == nil {
			t.Errorf("%q, want %q; %+v", got, want, l.EarlierRecord)
		}
	})
}

func TestTheSameListAgainIsTheSameListUntilItIsWithdrawn(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		about, read := of(store.OfRecord, "Fellshire"), table(t, "name", "Boletus edulis", "Boletus badius")
		send := func(cmd hall.Command, a earlier.About) (earlier.Outcome, error) {
			return earlier.Import(t.Context(), g.Hall, g.Machine, access.Scope{Society: g.Scope.Society}, cmd, a, read, earlier.Options{})
		}
		first, err := send(hall.Command{}, about)
		if err != nil {
			t.Fatal(err)
		}
		was := mark(t, g)
		again, err := send(hall.Command{}, about)
		if err != nil || again.List != first.List || mark(t, g) != was {
			t.Errorf("sent again: %v %v", again.List, err)
		}
		other := about
		other.Title = "Another title"
		if _, err := send(hall.Command{}, other); fault.From(err).Fields["file"].Key != "earlier.there" {
			t.Errorf("the same lines under another title: %v", err)
		}
		if _, err := send(g.Command(t), of(store.OfRecord, "Beckshire")); err != nil {
			t.Errorf("the same lines for another area: %v", err)
		}
		withdrawn(t, g, first)
		anew, err := send(hall.Command{}, about)
		if err != nil || anew.List == first.List || anew.List.IsZero() {
			t.Errorf("after it was withdrawn: %v %v", anew.List, err)
		}
		if _, err := earlier.Withdraw(t.Context(), g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), earlier.Withdrawal{List: first.List, Reason: "twice"}); !fault.Is(err, fault.Refused) {
			t.Errorf("withdrawn twice: %v", err)
		}
		if room := see(t, g); len(room.Lists) != 3 || room.Lists[2].InForce() || room.Lists[2].WithdrawnWhy != "another edition" || room.Lists[0].Species != 2 {
			t.Errorf("%+v", room.Lists)
		}
	})
}

func TestWhatIsSaidOfAListMustHoldTogether(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		for field, about := range map[string]earlier.About{
			"source": {Title: "t", Scope: store.OfSociety}, "title": {Scope: store.OfSociety, Source: "s"}, "scope": {Title: "t", Source: "s"},
			"site": {Title: "t", Scope: store.OfSite, Source: "s"}, "area": {Title: "t", Scope: store.OfRecord, Source: "s"},
			"period": {Title: "t", Scope: store.OfSociety, Source: "s", Period: "long ago"},
		} {
			_, err := earlier.Import(t.Context(), g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), about, table(t, "name", "Boletus edulis"), earlier.Options{})
			if _, wrong := fault.From(err).Fields[field]; !wrong {
				t.Errorf("%s: %v", field, err)
			}
		}
		for why, read := range map[string]*archive.Table{"no column for names": table(t, "place", "Nether Holt"), "no line": table(t, "name,x", ",y")} {
			_, err := earlier.Import(t.Context(), g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), of(store.OfSociety, ""), read, earlier.Options{LeaveOut: true})
			if _, wrong := fault.From(err).Fields["file"]; !wrong {
				t.Errorf("%s: %v", why, err)
			}
		}
	})
}

func TestOnlyThoseWhoKeepTheListOrSetUpTakeListsIn(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		list := brought(t, g, of(store.OfSociety, ""), "Boletus edulis")
		_, scope, _ := g.Another(t, "fernhollow", "Fernhollow Fungus Group")
		for _, right := range access.Rights {
			may := right == access.ListKeeper || right == access.Organiser
			read := table(t, "name", "Boletus edulis", string(right))
			_, err := earlier.Import(t.Context(), g.Hall, g.As[right], g.Scope, g.Command(t), of(store.OfSociety, ""), read, earlier.Options{AsWritten: true})
			if may != (err == nil) {
				t.Errorf("%s takes a list in: %v", right, err)
			}
			if _, err := earlier.DryRun(t.Context(), g.Hall, g.As[right], g.Scope, of(store.OfSociety, "x"), table(t, "name", "Boletus edulis", string(right), "x"), earlier.Options{}); may != (err == nil) {
				t.Errorf("%s tries a list: %v", right, err)
			}
			if _, err := earlier.Lines(t.Context(), g.Hall, g.As[right], g.Scope, list.List, 0); (right != access.Visitor && right != access.Member) != (err == nil) {
				t.Errorf("%s reads the lines: %v", right, err)
			}
			if _, err := earlier.Withdraw(t.Context(), g.Hall, g.As[right], scope, g.Command(t), earlier.Withdrawal{List: list.List, Reason: "x"}); err == nil {
				t.Errorf("%s withdraws a list of another society", right)
			}
		}
	})
}
