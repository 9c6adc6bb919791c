package pages

import (
	"cmp"
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"forayhall/internal/hall/list"
	"forayhall/internal/message"
	"forayhall/internal/tally"
	"forayhall/internal/taxon"
	"forayhall/web/view"
)

// listPick is how a reader wants a list: read from the address, so that it can be shared. What is not known is not
// wanted.
type listPick struct{ order, group, mark, site, day, find string }

var (
	listOrders = []string{"group", "systematic", "name", "site", "finds"}
	listMarks  = []string{"hazard", "first", "voucher", "photograph", "renamed", "field"}
)

const longestFind = 100

// wholeList is nothing left out, in the usual order.
var wholeList = listPick{order: "group"}

func (r *request) listPick() listPick {
	query := r.echo.QueryParams()
	known := func(name string, values []string) string {
		if v := query.Get(name); slices.Contains(values, v) {
			return v
		}
		return ""
	}
	realms := make([]string, len(tally.Realms))
	for i, realm := range tally.Realms {
		realms[i] = string(realm)
	}
	p := listPick{order: cmp.Or(known("order", listOrders), "group"), group: known("group", realms), mark: known("mark", listMarks),
		site: query.Get("site"), day: query.Get("day"), find: strings.TrimSpace(query.Get("find"))}
	if len(p.find) > longestFind {
		p.find = strings.ToValidUTF8(p.find[:longestFind], "")
	}
	return p
}

// partOf reports whether the part that is wanted is one that the public may know of.
func (p listPick) partOf(r list.Running) bool {
	known := func(s list.Site) bool { return strings.EqualFold(s.Code, p.site) }
	return (p.site == "" || slices.ContainsFunc(r.Sites, known)) && (p.day == "" || slices.Contains(r.Days, p.day))
}

// partText says of which part the list is; zero of the whole.
func partText(running list.Running, p listPick) message.Text {
	site := ""
	for _, s := range running.Sites {
		if strings.EqualFold(s.Code, p.site) {
			site = s.Name
		}
	}
	switch {
	case site != "" && p.day != "":
		return view.T("list.part.both", "site", site, "day", dayText(p.day))
	case site != "":
		return view.T("list.part.site", "site", site)
	case p.day != "":
		return view.T("list.part.day", "day", dayText(p.day))
	}
	return message.Text{}
}

// dayText is an ISO date as it is read; anything else as it is.
func dayText(iso string) message.Text {
	day, err := time.Parse(time.DateOnly, iso)
	if err != nil {
		return asIs(iso)
	}
	return view.Day(day)
}

// listed is a line with where on the list it goes.
type listed struct {
	view.ListLine
	realm, apart, class, order, family string
	finds                              int
}

// keeps reports whether a line is among those that are wanted.
func (p listPick) keeps(l listed) bool {
	return (p.group == "" || l.realm == p.group) && p.marked(l) && p.named(l)
}

func (p listPick) marked(l listed) bool {
	switch p.mark {
	case "hazard":
		return l.Hazard != nil
	case "first":
		return len(l.Firsts) > 0
	case "voucher":
		return l.Vouchers > 0
	case "photograph":
		return l.Photographs > 0
	case "renamed":
		return len(l.Determined) > 0
	case "field":
		return l.Fields > 0
	}
	return true
}

func (p listPick) named(l listed) bool {
	if p.find == "" {
		return true
	}
	find := taxon.Fold(p.find)
	names := []string{l.Name.String(), l.Common.Name}
	for _, d := range l.Determined {
		names = append(names, d.String())
	}
	return slices.ContainsFunc(names, func(s string) bool { return strings.Contains(taxon.Fold(s), find) })
}

// arrange puts the lines that are wanted under headings, and what is apart under its reason. The totals are those of the
// whole.
func arrange(lines []listed, p listPick) view.List {
	v := view.List{Pick: view.ListPick{Of: len(lines)}}
	totals := map[string]int{}
	there := map[string]bool{}
	var counted, apart []listed
	for _, l := range lines {
		if l.apart == "" {
			there[l.realm] = true
		}
		if l.Counts {
			totals[l.realm]++
		}
		switch {
		case !p.keeps(l):
			continue
		case l.apart != "":
			apart = append(apart, l)
		default:
			counted = append(counted, l)
		}
		v.Pick.Shown++
	}
	for _, realm := range tally.Realms {
		if there[string(realm)] {
			v.Totals = append(v.Totals, view.ListTotal{Key: string(realm), Count: totals[string(realm)]})
		}
	}
	v.Groups, v.Apart = p.headings(counted), reasons(apart)
	return v
}

func reasons(lines []listed) (out []view.ListApart) {
	for _, reason := range tally.AllApart {
		a := view.ListApart{Key: string(reason)}
		for _, l := range lines {
			if l.apart == a.Key {
				a.Lines = append(a.Lines, l.ListLine)
			}
		}
		if len(a.Lines) > 0 {
			out = append(out, a)
		}
	}
	return out
}

// heading is where a line stands: by key in the order of the list, under a text or a group.
type heading struct {
	sort, realm string
	text        message.Text
}

// headings sorts lines under headings; a line stands under each site where it was found.
func (p listPick) headings(lines []listed) []view.ListGroup {
	groups := map[headingKey]*view.ListGroup{}
	for _, l := range lines {
		for _, h := range p.of(l) {
			key := headingKey{h.sort, h.realm}
			if groups[key] == nil {
				groups[key] = &view.ListGroup{ListTotal: view.ListTotal{Key: h.realm}, Text: h.text}
			}
			groups[key].Lines = append(groups[key].Lines, l.ListLine)
			if l.Counts {
				groups[key].Count++
			}
		}
	}
	keys := slices.SortedFunc(maps.Keys(groups), func(a, b headingKey) int { return cmp.Or(cmp.Compare(a.sort, b.sort), cmp.Compare(a.realm, b.realm)) })
	out := make([]view.ListGroup, len(keys))
	for i, k := range keys {
		out[i] = *groups[k]
		out[i].ID = "list-" + strconv.Itoa(i+1)
		if p.order != "group" {
			slices.SortStableFunc(out[i].Lines, func(a, b view.ListLine) int { return cmp.Compare(a.Name.Name, b.Name.Name) })
		}
	}
	return out
}

type headingKey struct{ sort, realm string }

func (p listPick) of(l listed) []heading {
	realm := slices.Index(tally.Realms, tally.Realm(l.realm))
	switch p.order {
	case "systematic":
		return []heading{systematic(l, realm)}
	case "name":
		letter, _ := utf8.DecodeRuneInString(strings.ToUpper(l.Name.Name))
		return []heading{{sort: taxon.Fold(string(letter)), text: asIs(string(letter))}}
	case "finds":
		return []heading{{sort: strconv.Itoa(1_000_000 - l.finds), text: view.T("list.finds", "n", l.finds)}}
	case "site":
		var at []heading
		for _, s := range l.Sites {
			at = append(at, heading{sort: "0" + taxon.Fold(s), text: asIs(s)})
		}
		if len(at) == 0 {
			return []heading{{sort: "1", text: view.T("list.elsewhere")}}
		}
		return at
	}
	return []heading{{sort: strconv.Itoa(realm), realm: l.realm}}
}

// systematic is by class, order and family within each of the groups that are totalled apart; what the classification
// does not place comes last in its group.
func systematic(l listed, realm int) heading {
	place := func(s string) string { return cmp.Or(s, "\uffff") }
	h := heading{sort: strings.Join([]string{strconv.Itoa(realm), place(l.class), place(l.order), place(l.family)}, "\x00")}
	switch {
	case l.order == "" && l.family == "":
		h.text = view.T("list.unplaced")
	case l.order == "" || l.family == "":
		h.text = asIs(l.order + l.family)
	default:
		h.text = asIs(l.order + ": " + l.family)
	}
	return h
}

func asIs(text string) message.Text { return message.T("data.as-is", "text", text) }

// pickForm is the form with what was picked, and what there is to pick from.
func (r *request) pickForm(f view.ListPick, p listPick, running list.Running) view.ListPick {
	f.Action, f.All, f.Find = r.echo.Request().URL.Path, r.echo.Request().URL.Path, p.find
	f.Orders, f.Marks = view.Options("list.order", listOrders, p.order), view.Options("list.mark", listMarks, p.mark)
	for _, realm := range tally.Realms {
		f.Groups = append(f.Groups, view.Option{Value: string(realm), Text: view.T("kingdom." + string(realm)), Chosen: string(realm) == p.group})
	}
	if len(running.Sites) > 1 {
		for _, s := range running.Sites {
			f.Sites = append(f.Sites, view.Option{Value: s.Code, Label: s.Name, Chosen: strings.EqualFold(s.Code, p.site)})
		}
	}
	if len(running.Days) > 1 {
		for _, d := range running.Days {
			f.Days = append(f.Days, view.Option{Value: d, Text: dayText(d), Chosen: d == p.day})
		}
	}
	if f.Part = p.site != "" || p.day != ""; p.order != "group" { // what is shown is all of it, in the order that was picked
		f.All += "?" + url.Values{"order": {p.order}}.Encode()
	}
	return f
}

// listLinks leads to what else is made of the running list.
func (r *request) listLinks() []view.Link {
	e := r.event()
	links := []view.Link{{Text: view.T("list.link.xlsx"), Path: e.ListXLSX()}, {Text: view.T("list.link.pdf"), Path: e.ListPDF()}, {Text: view.T("list.link.text"), Path: e.ListText()},
		{Text: view.T("list.link.records"), Path: e.Path + "/records.csv"}}
	if r.at.Society.Licence != "" { // without one nothing goes to an archive
		links = append(links, view.Link{Text: view.T("list.link.archive"), Path: e.Path + "/records.zip"})
	}
	return append(links, []view.Link{{Text: view.T("list.link.map"), Path: e.Path + "/records.geojson"}, {Text: view.T("list.link.firsts"), Path: e.Path + "/list/firsts"},
		{Text: view.T("list.link.worth"), Path: e.Path + "/worth"}, {Text: view.T("list.link.correct"), Path: e.Path + "/correct"}}...)
}

// versionLinks leads to what else is made of a version.
func (r *request) versionLinks(n int) []view.Link {
	e := r.event()
	return []view.Link{{Text: view.T("list.link.xlsx"), Path: e.VersionXLSX(n)}, {Text: view.T("list.link.pdf"), Path: e.VersionBooklet(n)}, {Text: view.T("list.link.text"), Path: e.VersionText(n)},
		{Text: view.T("list.link.correct"), Path: e.Path + "/correct"}}
}
