package hazard

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// surest orders the ways a row can fire; of several for one syndrome the surest is told.
var surest = map[Via]int{Listed: 0, FormerName: 1, Misspelt: 2, BySection: 3, ByGenus: 4, ByFamily: 5, ByOrder: 6,
	ByGroup: 7, ByMembers: 8, ByForm: 9, NoEntry: 10}

// findings makes one finding a syndrome, worst first.
func (a *answer) findings(region string) []Finding {
	if len(a.hits) == 0 {
		return []Finding{{Matched: a.matched, Via: NoEntry}}
	}
	best, own := map[*Syndrome]Finding{}, map[*Syndrome]Finding{}
	for _, f := range a.hits {
		f.OutOfRegion = !inRegion(f.Entry.Region, region)
		into := best
		if f.Entry.Own != "" {
			into = own
		}
		if old, ok := into[f.Syndrome]; !ok || bySurest(f, old) < 0 {
			into[f.Syndrome] = f
		}
	}
	list := make([]Finding, 0, len(best)+len(own))
	for s, f := range best {
		told := f
		if o, ok := own[s]; ok {
			told = choose(f, o)
			delete(own, s)
		}
		list = append(list, a.explained(told, f))
	}
	for _, f := range own {
		list = append(list, a.explained(f, Finding{}))
	}
	slices.SortFunc(list, worstFirst)
	return list
}

// explained puts beside a finding what the society says and contests.
func (a *answer) explained(told, ships Finding) Finding {
	told.Beside = a.beside(told, ships)
	for _, e := range append([]*Entry{told.Entry}, told.Beside...) {
		told.Contests = append(told.Contests, a.b.contests[e.ID]...)
	}
	return told
}

func bySurest(x, y Finding) int {
	return cmp.Or(cmp.Compare(surest[x.Via], surest[y.Via]), compareBool(x.Wide, y.Wide),
		compareBool(x.OutOfRegion, y.OutOfRegion), compareBool(isWide(x.Entry.Rank), isWide(y.Entry.Rank)),
		compareBool(x.Entry.Evidence != Reported, y.Entry.Evidence != Reported),
		strings.Compare(x.Entry.ID, y.Entry.ID), strings.Compare(x.Matched, y.Matched))
}

func worstFirst(x, y Finding) int {
	order := cmp.Or(cmp.Compare(y.Severity, x.Severity), cmp.Compare(surest[x.Via], surest[y.Via]))
	if order != 0 || x.Syndrome == nil || y.Syndrome == nil {
		return order
	}
	return strings.Compare(x.Syndrome.Key, y.Syndrome.Key)
}

func compareBool(x, y bool) int {
	switch {
	case x == y:
		return 0
	case y:
		return -1
	}
	return 1
}

func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}
