package pages_test

import (
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/browsertest"
	"forayhall/internal/hall"
	"forayhall/internal/hall/earlier"
)

// TestEarlierListsAndFirstsInABrowser holds the part of the set-up with lists of every kind and one open, and the first
// records, against what everybody needs at a desk and on a phone.
func TestEarlierListsAndFirstsInABrowser(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	f := onSQLite(t).whole()
	out := f.earlierList(earlier.About{Title: "Checklist of the fungi of Fellshire, third edition", Scope: hall.OfRecord, Area: "Fellshire", Source: "Pugh 2020"}, "Boletus badius", "Inventaria nova", "Amanita muscara")
	gone := f.earlierList(earlier.About{Title: "Older list", Scope: hall.OfSociety, Source: "minutes"}, "Boletus badius")
	_, err := earlier.Withdraw(t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope, f.s.Command(t), earlier.Withdrawal{List: gone.List, Reason: "another edition came"})
	f.must(err)
	f.earlierList(earlier.About{Title: "Fungi of Weir Bank", Scope: hall.OfSite, Site: "Weir Bank", Source: "Naylor 2021"}, "Boletus badius")
	for _, size := range []browsertest.Size{browsertest.Desktop, browsertest.Phone} {
		w := f.s.window(t, b, "earlier", size, true).signIn(string(access.ListKeeper))
		for _, path := range []string{"/setup/earlier?list=" + out.List.String(), "/setup/earlier/firsts", "/list/firsts"} {
			w.look(t, event+path)
		}
	}
}
