package pages_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/photographs"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
)

// furnish puts into the hall a collection in every state a page can draw, so that a page that is read shows all it has.
func (f *floor) furnish() *floor {
	f.t.Helper()
	f.ground()
	f.brought(210, desk.Field{Group: "small_brown", Team: "1", Collector: "Mei Adeyemi", Substrate: "stump", Host: "Fagus", Habitat: "by the weir",
		Growth: "tuft", Plate: "plate", Remarks: "under the footbridge"}, "meal")
	f.brought(211, desk.Field{Group: "bolete", Outside: true, Cultivated: true, Team: "1"}, "")
	f.brought(212, desk.Field{Group: "small_brown", Team: "1"}, "")
	f.suggests(212, f.s.Second, "Kuehneromyces mutabilis", "Galerina marginata")
	f.brought(213, desk.Field{Group: "white_spored", Team: "1"}, "")
	f.signed("213", f.s.Second, "Amanita phalloides", "")
	f.stands(213, 3, "B2")
	f.brought(214, desk.Field{Group: "small_brown", Team: "1"}, "radish")
	f.signed("214", f.s.Second, "Kuehneromyces mutabilis", "")
	f.signed("214", f.s.Third, "Galerina marginata", "smooth below the ring")
	f.stands(214, 2, "A1")
	f.brought(215, desk.Field{Group: "bolete", Team: "1"}, "")
	f.signed("215", f.s.Second, "Boletus sp.", "")
	f.strikes("215")
	f.signed("215", f.s.As[access.ChiefIdentifier], "Boletus edulis", "")
	f.stands(215, 1, "")
	f.brought(216, desk.Field{Group: "white_spored", Team: "1"}, "")
	f.signed("216", f.s.Second, "Amanita cf. citrina", "")
	f.brought(217, desk.Field{Group: "cup", Team: "1"}, "")
	f.nameless("217")
	f.brought(218, desk.Field{Group: "webcap", Team: "1"}, "")
	f.signed("218", f.s.Second, "Cortinarius sp.", "")
	f.stands(218, 3, "B3")
	f.brought(219, desk.Field{Group: "bolete", Team: "1", Collector: "Person member"}, "")
	f.signed("219", f.s.Second, "Boletus hollinbeckensis", "")
	f.number = 300
	return f
}

// ground is where people walk: a site the public may know, one it may not, and a team.
func (f *floor) ground() {
	f.t.Helper()
	ctx, s := f.t.Context(), f.s
	for _, site := range []setup.Site{{Code: "ALD", Name: "Alder Carr", Permitted: true}, {Code: "WEIR", Name: "Weir Bank", Sensitive: true, Permitted: true}} {
		if _, err := setup.AddSite(ctx, s.Hall, s.Machine, s.Scope, s.Command(f.t), site); err != nil {
			f.t.Fatal(err)
		}
	}
	if _, err := setup.AddTeam(ctx, s.Hall, s.Machine, s.Scope, s.Command(f.t), setup.Team{Number: 1, Name: "Otters", Leader: "Person team_leader", Site: "ALD"}); err != nil {
		f.t.Fatal(err)
	}
	done, err := safety.TypeContact(ctx, s.Hall, s.As[access.SafetyLead], s.Scope, s.Command(f.t), safety.Contact{Name: "Poison line", Phone: "0300 555 0142", Hours: "day and night"})
	if err == nil {
		_, err = safety.TestContact(ctx, s.Hall, s.As[access.SafetyLead], s.Scope, s.Command(f.t), safety.Typed{Seq: done.Seq})
	}
	if err != nil {
		f.t.Fatal(err)
	}
}

func (f *floor) brought(number int, field desk.Field, odour string) {
	f.t.Helper()
	in := desk.Log{Number: fmt.Sprint(number), Field: field}
	if odour != "" {
		seconds := 30
		in.Characters = []desk.Character{{Character: "odour", Words: odour}, {Character: "cut_change", Words: "browner", Seconds: &seconds}, {Character: "texture", Words: "brittle"}}
	}
	if _, err := desk.LogCollection(f.t.Context(), f.s.Hall, f.s.As[access.Desk], f.s.Scope, f.s.Command(f.t), in); err != nil {
		f.t.Fatal(err)
	}
}

func (f *floor) suggests(number int, by access.Actor, names ...string) {
	f.t.Helper()
	in := bench.FieldName{Collection: f.plate(fmt.Sprint(number)).ID, Remarks: "seen with a lens"}
	for _, n := range names {
		in.Names = append(in.Names, hall.NameInput{Text: n, Reason: "scaly below the ring"})
	}
	if _, err := bench.GiveFieldName(f.t.Context(), f.s.Hall, by, f.s.Scope, f.s.Command(f.t), in); err != nil {
		f.t.Fatal(err)
	}
}

func (f *floor) strikes(number string) {
	f.t.Helper()
	p := f.plate(number)
	if _, err := bench.StrikeSlip(f.t.Context(), f.s.Hall, f.s.Second, f.s.Scope, f.s.On(f.t, p.Version), bench.Struck{Collection: p.ID,
		Slip: p.Slips[len(p.Slips)-1].ID, Remarks: "another plate was meant"}); err != nil {
		f.t.Fatal(err)
	}
}

func (f *floor) nameless(number string) {
	f.t.Helper()
	p := f.plate(number)
	if _, err := bench.FindNotNameable(f.t.Context(), f.s.Hall, f.s.Second, f.s.Scope, f.s.On(f.t, p.Version), bench.Word{Collection: p.ID, Remarks: "too old"}); err != nil {
		f.t.Fatal(err)
	}
}

func (f *floor) stands(number, table int, position string) {
	f.t.Helper()
	if _, err := tables.PlacePlate(f.t.Context(), f.s.Hall, f.s.As[access.Steward], f.s.Scope, f.s.Command(f.t), tables.Place{Collection: f.plate(fmt.Sprint(number)).ID,
		Where: foray.OnTable, Table: fmt.Sprint(table), Position: position}); err != nil {
		f.t.Fatal(err)
	}
}

// whole is a hall with what every area has to show: teams outside and their sheets, photographs, an incident, papers,
// field records, flags, links that open by themselves. What furnish left is still there.
func (f *floor) whole() *floor {
	f.t.Helper()
	f.furnish()
	f.afield()
	f.pictured("0213", photographs.OfFind)
	f.pictured("0213", photographs.OfSlip)
	f.pictured("0214", photographs.OfFind)
	f.wrongCard()
	f.seen(f.s.As[access.TeamLeader])
	f.seen(f.s.As[access.Member])
	f.flag("Boletus edulis")
	f.submit(f.at[access.Desk], "/numbers/fate", "number", "0290", "fate", "spoilt", "reason", "wet").want(http.StatusSeeOther)
	f.invitation("Guest Of Ours")
	f.pass(access.Steward)
	f.addresses = map[access.Right][]string{}
	for _, who := range personas { // all before anything is looked at: some addresses are made for it
		f.addresses[who] = f.pagesFor(who)
	}
	return f
}

// shown is one page as one person sees it.
type shown struct {
	who  access.Right
	path string
	*browser
}

// everyPage reads every page of the whole hall as everybody who may open it, and again when teams are late, and some of
// what is said when things go wrong.
func (f *floor) everyPage(t *testing.T, look func(t *testing.T, p shown)) {
	t.Helper()
	read := func(who access.Right, path string) {
		b := f.at[who].get(path)
		if b.status >= http.StatusInternalServerError {
			t.Errorf("%s: %s answered %d", who, path, b.status)
		}
		look(t, shown{who, path, b})
	}
	for _, who := range personas {
		for _, path := range f.addresses[who] {
			read(who, path)
		}
		for _, path := range []string{"/nowhere", event + "/c/9999", event + "/publish", event + "/hall"} {
			read(who, path)
		}
	}
	f.everyMistake(t, look)
	f.s.Pass(6 * time.Hour)
	for _, who := range personas {
		for _, path := range f.addresses[who] {
			if changesByTheClock(path) {
				read(who, path)
			}
		}
	}
}

// changesByTheClock is true of pages that say how late a team is.
func changesByTheClock(path string) bool {
	for _, part := range []string{"/team", "/back", "/hall", "/wall", "/walks", "/close"} {
		if strings.HasPrefix(path, event+part) {
			return true
		}
	}
	return false
}

// pagesFor lists the addresses that somebody may open and that answer with a page.
func (f *floor) pagesFor(who access.Right) []string {
	f.t.Helper()
	var paths []string
	for _, line := range allRows() {
		r := f.row(line)
		if r.method != http.MethodGet || !may(line[r.width:], who) || !isPage(r.route) {
			continue
		}
		paths = append(paths, f.addressesOf(r, who)...)
	}
	if may, extra := who != access.Visitor && who != stranger, []string{event + "/collections?state=disputed&find=galerina"}; may {
		paths = append(paths, extra...)
	}
	if who == access.Desk {
		paths = append(paths, event+"/intake?saved=0210&team="+f.team()+"&collector=Mei+Adeyemi&cooled=yes")
	}
	return paths
}

// addressesOf are one or several examples of a route.
func (f *floor) addressesOf(r row, who access.Right) (paths []string) {
	f.t.Helper()
	at := strings.NewReplacer("/:society/:event", event)
	if numbered := strings.HasSuffix(r.route, "/n/:number") || strings.Contains(r.route, "/c/:number"); numbered && r.variant == "" {
		for n := 210; n <= 219; n++ {
			paths = append(paths, strings.Replace(at.Replace(r.route), ":number", fmt.Sprintf("%04d", n), 1))
		}
		return paths
	}
	if more, ok := examples[strings.TrimPrefix(r.route, "/:society/:event")+r.variant]; ok {
		for _, one := range more {
			paths = append(paths, event+one)
		}
		return paths
	}
	key := r.route + r.variant
	if r.variant == "own" {
		key += string(who)
	}
	if f.made[key] == "" { // one for all who may open it
		if f.made == nil {
			f.made = map[string]string{}
		}
		f.made[key] = f.path(r, who)
	}
	return []string{f.made[key]}
}

// examples are the addresses of routes that show different things.
var examples = map[string][]string{
	"/tables/:number": {"/tables/1", "/tables/2", "/tables/3"},
	"/t/:name":        {"/t/Galerina_marginata", "/t/Agaricus_phalloides", "/t/Cortinarius", "/t/Amanitaceae", "/t/boletus_hollinbeckensis"},
	"/photographs":    {"/photographs?kind=find&subject=0213", "/photographs?kind=slip&subject=0213"},
	"/back/sheet":     {"/back/sheet", "/back/sheet?team=91"},
	"/sweep":          {"/sweep", "/sweep?table=1"},
	"/walk/:table":    {"/walk/1", "/walk/3"},
	"/plan":           {"/plan", "/plan?find=0213"},
	"/eaten":          {"/eaten", "/eaten?number=0213"},
	"/seen":           {"/seen", "/seen?show=all"},
}

func (f *floor) team() string {
	f.t.Helper()
	room, err := setup.See(f.t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope)
	if err != nil {
		f.t.Fatal(err)
	}
	if len(room.Teams) == 0 {
		return ""
	}
	return room.Teams[0].ID.String()
}

func may(cells string, who access.Right) bool {
	for i, cell := range strings.Fields(cells) {
		if personas[i] == who {
			return cell == "x"
		}
	}
	return false
}

func isPage(route string) bool {
	for _, other := range []string{"/static/", "/healthz", "/readyz", "/names", "/stream", "/photo/", "/worth/", ".csv", ".json", ".pdf", ".xlsx", ".txt", ".zip", ".geojson", "/csv", "/json", "/pdf", "/xlsx", "/txt", ".atom", ".ics"} {
		if strings.Contains(route, other) {
			return false
		}
	}
	return true
}

// everyMistake sends forms that come back.
func (f *floor) everyMistake(t *testing.T, look func(t *testing.T, p shown)) {
	t.Helper()
	act := event + "/c/0213/"
	for _, m := range []struct {
		who          access.Right
		page, action string
		pairs        []string
	}{
		{access.Visitor, "/sign-in", "/sign-in", []string{"name", "nobody", "password", "wrong"}},
		{access.Desk, event + "/intake", event + "/intake", []string{"number", "0210", "group", "bolete", "team", f.team()}},
		{access.Desk, event + "/intake", event + "/intake", []string{"number", "x", "group", "", "picked", "x", "weight", "x", "fruitbodies", "x", "cut_seconds", "5"}},
		{access.Member, event + "/mine?name=0219", event + "/mine/0219", []string{"name_1", ""}},
		{access.Identifier, event + "/c/0213", act + "sign", []string{"choice", "other", "name", ""}},
		{access.Identifier, event + "/c/0213", act + "sign", []string{"choice", "Amanita phalloides", "name", "Amanita citrina", "basis", "macroscopic"}},
		{access.Identifier, event + "/c/0213", act + "sign", []string{"base_version", "0", "choice", "other", "name", "Amanita citrina", "qualifier", "cf.", "basis", "microscopy", "remarks", "potato"}},
		{access.Identifier, event + "/c/0213", act + "field-name", []string{"name_1", ""}},
		{access.Identifier, event + "/c/0213", act + "nameless", []string{"kind", ""}},
		{access.Identifier, event + "/c/0213", act + "note", []string{"character", "spores"}},
		{access.Steward, event + "/c/0213", act + "place", []string{"where", "table", "table", ""}},
		{access.Scribe, event + "/c/0213", act + "sign", []string{"choice", "other", "name", "Amanita citrina", "basis", "microscopy", "determiner", ""}},
		{access.ListKeeper, event + "/publish", event + "/publish", nil},
		{access.SafetyLead, event + "/setup/contact", event + "/setup/contact", []string{"phone", ""}},
		{access.SafetyLead, event + "/setup/contact", event + "/setup/tested", nil},
		{access.Organiser, event + "/setup/tables", event + "/setup/table", []string{"number", "1"}},
		{access.Organiser, event + "/setup/rights", event + "/setup/right", []string{"person", ""}},
	} {
		b := f.at[m.who]
		b.get(m.page).send(m.action, m.pairs...)
		if b.status < 400 {
			t.Errorf("%s: the mistake at %s answered %d", m.who, m.action, b.status)
		}
		if b.status >= 500 {
			t.Errorf("%s: the mistake at %s answered %d", m.who, m.action, b.status)
		}
		look(t, shown{m.who, m.action + " with a mistake", b})
	}
	look(t, shown{access.Desk, "/sign-in?out=1", f.at[access.Desk].get("/sign-in?out=1")})
}
