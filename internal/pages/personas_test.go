package pages_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/people"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hall/setup"
	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/web"
)

// stranger is an organiser of another society, signed in. A visitor is nobody at all.
const stranger access.Right = "stranger"

var personas = append(append([]access.Right{}, access.Rights...), stranger)

// Who may open and send what, as the plan's "Who may do what" has it; ⋯ stands for /:society/:event. A word behind a
// path is the case that is sent where one form does several things. Columns in the order of personas:
//
//	visitor member team_leader desk scribe steward identifier chief_identifier safety_lead list_keeper organiser stranger
const mayDo = `
GET  /static/:file                     x x x x x x x x x x x x
GET  /healthz                          x x x x x x x x x x x x
GET  /readyz                           x x x x x x x x x x x x
GET  /                                 x x x x x x x x x x x x
GET  /sign-in                          x x x x x x x x x x x x
POST /sign-in                          x x x x x x x x x x x x
POST /sign-out                         x x x x x x x x x x x x
GET  /:society                         x x x x x x x x x x x x
GET  ⋯                                 x x x x x x x x x x x x
GET  ⋯/list                            x x x x x x x x x x x x
GET  ⋯/list.csv                        x x x x x x x x x x x x
GET  ⋯/list.json                       x x x x x x x x x x x x
GET  ⋯/list/:version                   x x x x x x x x x x x x
GET  ⋯/list/:version/csv               x x x x x x x x x x x x
GET  ⋯/list/:version/json              x x x x x x x x x x x x
GET  ⋯/tables                          x x x x x x x x x x x x
GET  ⋯/tables/:number                  x x x x x x x x x x x x
GET  ⋯/n/:number                       x x x x x x x x x x x x
GET  ⋯/t/:name                         x x x x x x x x x x x x
GET  ⋯/find                            x x x x x x x x x x x x
GET  ⋯/mine                            . x x x x x x x x x x .
POST ⋯/mine/:number                    . . . . . . . . . . . .
POST ⋯/mine/:number        own         . x x x x x x x x x x .
GET  ⋯/warnings                        x x x x x x x x x x x x
GET  ⋯/names                           x x x x x x x x x x x x
GET  ⋯/live/stream                     x x x x x x x x x x x x
GET  ⋯/hall                            . . x x x x x x x x x .
GET  ⋯/setup                           . . x x x x x x x x x .
GET  ⋯/collections                     . x x x x x x x x x x .
GET  ⋯/c/:number                       . . x x x x x x x x x .
GET  ⋯/c/:number           own         . x x x x x x x x x x .
GET  ⋯/queue                           . . x x x x x x . x x .
POST ⋯/queue/groups                    . . x x x x x x . x x .
POST ⋯/queue/sign                      . . . . . . x x . . . .
GET  ⋯/walk/:table                     . . x x x x x x . x x .
GET  ⋯/scribe                          . . . . x . . . . . . .
POST ⋯/scribe                          . . . . x . . . . . . .
POST ⋯/scribe/several                  . . . . x . . . . . . .
GET  ⋯/intake                          . . . x . . x x . x x .
POST ⋯/intake                          . . . x . . x x . x x .
POST ⋯/c/:number/field-name            . . x x x x x x . x x .
POST ⋯/c/:number/field-name own        . x x x x x x x x x x .
POST ⋯/c/:number/note                  . . x x x x x x . x x .
POST ⋯/c/:number/note      own         . x x x x x x x x x x .
POST ⋯/c/:number/sign                  . . . . x . x x . . . .
POST ⋯/c/:number/sign      dissent     . . . . x . x x . . . .
POST ⋯/c/:number/sign      settle      . . . . . . x x . . . .
POST ⋯/c/:number/nameless              . . . . x . x x . . . .
POST ⋯/c/:number/strike                . . . . . . . . . . . .
POST ⋯/c/:number/strike    own         . x x x x x x x x x x .
POST ⋯/c/:number/place                 . . . . . x . . . . x .
POST ⋯/c/:number/place     dryer       . . . x . x x x . x x .
POST ⋯/c/:number/place     discard     . . . x . x x x . x x .
GET  ⋯/publish                         . . . . . . . . . x . .
POST ⋯/publish                         . . . . . . . . . x . .
POST ⋯/setup/contact                   . . . . . . . . x . . .
POST ⋯/setup/tested                    . . . . . . . . x . . .
POST ⋯/setup/table                     . . . . . . . . . . x .
POST ⋯/setup/right                     . . . . . . . . . . x .
`

// areaRows are the rows of an area, kept beside its tests, and areaForms fills in its forms: by route below the event.
var (
	areaRows  []string
	areaForms = map[string]func(f *floor, who access.Right, set func(...string) url.Values) url.Values{}
	areaPaths = map[string]func(f *floor, r row) string{} // by a part of the route: the address where it is no usual one
	areaQuiet = map[string]bool{}                         // routes whose forms number no change, and why is said where they are named
)

func allRows() []string {
	drawn := strings.Split(strings.TrimSpace(mayDo), "\n")
	for _, rows := range areaRows {
		drawn = append(drawn, strings.Split(strings.TrimSpace(rows), "\n")...)
	}
	return drawn
}

// TestEveryRouteByPersona would catch a route that nobody decided on, a right that is wider or narrower than the plan
// says, and a refused write that changed something all the same.
func TestEveryRouteByPersona(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		var seen strings.Builder
		rowed := map[string]bool{}
		drawn := allRows()
		for _, line := range drawn {
			r := f.row(line)
			rowed[r.method+" "+r.route] = true
			cells := strings.Fields(line[r.width:])
			tried := map[string]bool{}
			for i, who := range personas {
				// Who may do what is the same code on both: on Postgres the first of each answer is asked.
				if g.Store.Dialect() == store.SQLite || !tried[cells[i]] {
					tried[cells[i]] = true
					f.barred = cells[i] == "." // whoever may not, may not for whatever state the event is in
					cells[i] = f.try(r, who)
				}
			}
			fmt.Fprintf(&seen, "%s %s\n", line[:r.width], strings.Join(cells, " "))
		}
		t.Log("\n" + seen.String())
		for i, got := range strings.Split(strings.TrimSpace(seen.String()), "\n") {
			if want := drawn[i]; got != want {
				t.Errorf("\n got %s\nwant %s", got, want)
			}
		}
		f.everyRouteHasARow(rowed)
	})
}

func (f *floor) everyRouteHasARow(rowed map[string]bool) {
	f.t.Helper()
	for _, r := range f.s.echo.Routes() {
		if r.Method == http.MethodHead || r.Method == "echo_route_not_found" {
			continue // HEAD is what GET is, without its body
		}
		if !rowed[r.Method+" "+r.Path] {
			f.t.Errorf("nobody decided who may %s %s", r.Method, r.Path)
		}
		delete(rowed, r.Method+" "+r.Path)
	}
	for route := range rowed {
		f.t.Errorf("there is no route %s", route)
	}
}

// floor is a hall with everybody in it.
type floor struct {
	t      *testing.T
	s      *site
	at     map[access.Right]*browser
	actor  map[access.Right]access.Actor
	number int  // the last that was used
	barred bool // the next is what its sender may not do, so that nothing need be ready for it
	table  int

	requests int            // for corrections, that were sent
	walkers  map[int]string // a member of each team that was made, by the team's number
	walkID   foray.ID

	made      map[string]string // by route: the address that pagesFor made for it
	addresses map[access.Right][]string
}

func newFloor(t *testing.T, s *site) *floor {
	t.Helper()
	f := &floor{t: t, s: s, at: map[access.Right]*browser{}, actor: map[access.Right]access.Actor{}, table: 100}
	for right, actor := range s.As {
		f.actor[right] = actor
	}
	f.actor[stranger] = s.stranger(t)
	for _, who := range personas {
		f.at[who] = f.enter(who)
	}
	if _, err := safety.TypeContact(t.Context(), s.Hall, s.As[access.SafetyLead], s.Scope, s.Command(t), safety.Contact{Name: "Poison line", Phone: "0300 555 0142"}); err != nil {
		t.Fatal(err)
	}
	seq := f.seq()
	if _, err := list.Publish(t.Context(), s.Hall, s.As[access.ListKeeper], s.Scope, s.Command(t), list.Sign{Seq: seq}); err != nil {
		t.Fatal(err)
	}
	return f
}

// stranger makes an organiser of another society.
func (s *site) stranger(t *testing.T) access.Actor {
	t.Helper()
	other, scope, machine := s.Another(t, "fernhollow", "Fernhollow Fungus Group")
	id, err := s.Desk.AddAccount(t.Context(), people.Account{Society: other.Code, Name: "Tomasz Achebe", Login: string(stranger), Password: halltest.Password})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := setup.GiveRight(t.Context(), s.Hall, machine, scope, s.Command(t), setup.Right{Person: id, Right: access.Organiser}); err != nil {
		t.Fatal(err)
	}
	return access.Actor{Society: other.ID, Person: id}
}

// enter signs somebody in, and keeps redirects from being followed: the answer to a form is its own.
func (f *floor) enter(who access.Right) *browser {
	f.t.Helper()
	b := f.s.browser(f.t)
	if who != access.Visitor {
		b.get("/sign-in").send("/sign-in", "name", string(who), "password", halltest.Password).want(http.StatusOK)
	}
	b.client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	return b
}

type row struct {
	method, route, variant string
	width                  int // of what stands before the cells
}

func (f *floor) row(line string) row {
	f.t.Helper()
	words := strings.Fields(line)
	r := row{method: words[0], route: strings.Replace(words[1], "⋯", "/:society/:event", 1)}
	if words[2] != "x" && words[2] != "." {
		r.variant = words[2]
	}
	r.width = len(line) - 2*len(personas)
	return r
}

// try gives x where the persona may, . where not.
func (f *floor) try(r row, who access.Right) string {
	f.t.Helper()
	b := f.asks(r, who)
	path := f.path(r, who)
	var form url.Values
	if r.method == http.MethodPost {
		form = f.form(r, who, path)
	}
	before := f.seq()
	if form != nil {
		b.post(path, form)
	} else {
		b.get(path)
	}
	changed := f.seq() != before
	switch b.status {
	case http.StatusOK, http.StatusSeeOther:
		if form != nil && !changed && strings.HasPrefix(r.route, "/:society/:event") && !areaQuiet[r.route] {
			f.t.Errorf("%s: %s %s %s was taken and changed nothing", who, r.method, path, r.variant)
		}
		return "x"
	case http.StatusUnauthorized, http.StatusForbidden, http.StatusNotFound:
		if changed {
			f.t.Errorf("%s: %s %s %s was refused and changed something", who, r.method, path, r.variant)
		}
		if signedIn := who != access.Visitor; signedIn == (b.status == http.StatusUnauthorized) {
			f.t.Errorf("%s: %s %s %s answered %d", who, r.method, path, r.variant, b.status)
		}
		return "."
	}
	f.t.Errorf("%s: %s %s %s answered %d: %s", who, r.method, path, r.variant, b.status, b.text())
	return "?"
}

func (f *floor) seq() int64 {
	f.t.Helper()
	seq, err := f.s.ChangeSeq(f.t.Context(), f.s.Scope)
	if err != nil {
		f.t.Fatal(err)
	}
	return seq
}

// areaPath is the way of an area to the address of one of its routes: of two that fit, the one that says more of the
// route; nil where none does.
func (f *floor) areaPath(r row) func(*floor, row) string {
	longest := ""
	for part := range areaPaths {
		if strings.Contains(r.route, part) && len(part) > len(longest) {
			longest = part
		}
	}
	return areaPaths[longest]
}

// path fills in a route; each collection is a fresh one.
func (f *floor) path(r row, who access.Right) string {
	f.t.Helper()
	if fill := f.areaPath(r); fill != nil {
		return fill(f, r)
	}
	path := strings.Replace(r.route, "/tables/:number", "/tables/1", 1)
	if strings.Contains(path, ":incident") {
		by := f.s.As[access.Scribe]
		if r.variant == "own" && who != stranger && who != access.Visitor && who != access.Member {
			by = f.actor[who]
		} else if who == access.Scribe {
			by = f.s.As[access.Desk]
		}
		path = strings.Replace(path, ":incident", f.incident(by), 1)
	}
	if strings.HasSuffix(path, "/:secret") {
		return f.link(path)
	}
	if strings.Contains(path, ":number") {
		collector := "Mei Adeyemi"
		if r.variant == "own" && who != stranger && who != access.Visitor {
			collector = "Person " + string(who)
		}
		path = strings.Replace(path, ":number", f.collection(collector), 1)
	}
	return strings.NewReplacer("/:society/:event", event, "/:society", "/hollinbeck", ":version", "1", ":name", "Galerina_marginata",
		"/static/:file", web.Asset("hall.css"), "/names", "/names?q=amanita", ":table", "3").Replace(path)
}

func (f *floor) collection(collector string) string {
	f.t.Helper()
	f.number++
	done, err := desk.LogCollection(f.t.Context(), f.s.Hall, f.s.As[access.Desk], f.s.Scope, f.s.Command(f.t),
		desk.Log{Number: fmt.Sprint(f.number), Field: desk.Field{Group: "small_brown", Collector: collector, Team: f.team()}})
	if err != nil {
		f.t.Fatal(err)
	}
	return done.Number
}

func (f *floor) plate(number string) hall.Plate {
	f.t.Helper()
	n, err := foray.ParseNumber(number, "HB26")
	if err != nil {
		f.t.Fatal(err)
	}
	s, err := bench.SeeCollection(f.t.Context(), f.s.Hall, f.s.As[access.Desk], f.s.Scope, n)
	if err != nil {
		f.t.Fatal(err)
	}
	return s.Plate
}

// form is a valid one for the row, on a ground where it may be sent by whoever has the right.
func (f *floor) form(r row, who access.Right, path string) url.Values {
	f.t.Helper()
	v := url.Values{"command": {f.s.Command(f.t).ID.String()}}
	if strings.Contains(r.route, "/c/:number/") {
		number := strings.Split(path, "/")[4]
		f.fillAct(v, r, who, number)
		v.Set("base_version", fmt.Sprint(f.plate(number).Version))
		return v
	}
	set := func(pairs ...string) url.Values {
		for i := 0; i < len(pairs); i += 2 {
			v.Set(pairs[i], pairs[i+1])
		}
		return v
	}
	if fill, ok := areaForms[strings.TrimSpace(strings.TrimPrefix(r.route, "/:society/:event")+" "+r.variant)]; ok {
		return fill(f, who, set)
	}
	switch strings.TrimPrefix(r.route, "/:society/:event") {
	case "/mine/:number":
		return set("name_1", "Galerina marginata")
	case "/sign-in":
		login := who
		if who == access.Visitor {
			login = access.Member
		}
		return set("name", string(login), "password", halltest.Password)
	case "/intake":
		f.number++
		return set("number", fmt.Sprint(f.number), "group", "bolete")
	case "/queue/groups":
		return set("groups", "bolete")
	case "/queue/sign":
		return set("pick", f.collection("Mei Adeyemi"), "name", "Galerina marginata", "basis", "macroscopic")
	case "/scribe":
		return set("determiner", f.s.Third.Person.String(), "number", f.collection("Mei Adeyemi"), "name", "Galerina marginata", "basis", "macroscopic")
	case "/scribe/several":
		return set("determiner", f.s.Third.Person.String(), "lines", f.collection("Mei Adeyemi")+" Galerina marginata", "basis", "macroscopic")
	case "/publish":
		return set("sign", "yes", "base_version", fmt.Sprint(f.seq()))
	case "/setup/contact":
		return set("name", "Poison line", "phone", "0300 555 0142")
	case "/setup/tested":
		return set("answered", "yes", "base_version", fmt.Sprint(f.contactSeq()))
	case "/setup/table":
		f.table++
		return set("number", fmt.Sprint(f.table), "name", "Spare")
	case "/setup/right":
		return set("person", f.s.Second.Person.String(), "role", "team_leader") // who is no persona: the rows behind find everybody as they were
	}
	return v
}

func (f *floor) fillAct(v url.Values, r row, who access.Right, number string) {
	f.t.Helper()
	act := r.route[strings.LastIndex(r.route, "/")+1:] + " " + r.variant
	if who == access.Scribe && (strings.HasPrefix(act, "sign") || strings.HasPrefix(act, "nameless")) {
		v.Set("determiner", f.s.As[access.ChiefIdentifier].Person.String())
	}
	switch act {
	case "field-name ", "field-name own":
		v.Set("name_1", "Galerina marginata")
	case "note ", "note own":
		v.Set("odour", "meal")
	case "sign ":
		v["choice"], v["name"], v["basis"] = []string{"other"}, []string{"Galerina marginata"}, []string{"macroscopic"}
	case "sign dissent", "sign settle":
		f.signed(number, f.s.Second, "Kuehneromyces mutabilis", "")
		if r.variant == "settle" {
			f.signed(number, f.s.Third, "Pholiota squarrosa", "scales")
		}
		v["choice"], v["name"], v["basis"], v["remarks"] = []string{"other"}, []string{"Galerina marginata"}, []string{"microscopy"}, []string{"smooth below the ring"}
	case "nameless ":
		v.Set("kind", "not_nameable")
	case "strike ":
		v["slip"], v["remarks"] = []string{f.suggested(number, f.s.Second)}, []string{"another plate was meant"}
	case "strike own":
		by := f.actor[who]
		if who == access.Visitor || who == stranger {
			by = f.s.Second
		}
		v["slip"], v["remarks"] = []string{f.suggested(number, by)}, []string{"another plate was meant"}
	case "field ":
		v["group"], v["habitat"] = []string{"small_brown"}, []string{"by the weir"}
	case "split ":
		v.Set("reason", "two kinds")
	case "merge ":
		v["into"], v["reason"] = []string{f.collection("Mei Adeyemi")}, []string{"one find"}
	case "spoil ":
		v.Set("reason", "typed twice")
	case "place ":
		v["where"], v["table"], v["position"] = []string{"table"}, []string{f.s.table(f.t, 1)}, []string{"A1"}
	case "place dryer":
		v["where"], v["position"] = []string{"dryer"}, []string{"tray 4"}
	case "place discard":
		f.signed(number, f.s.Second, "Kuehneromyces mutabilis", "")
		v.Set("where", "discarded")
	}
}

func (f *floor) signed(number string, by access.Actor, name, reason string) {
	f.t.Helper()
	p := f.plate(number)
	if _, err := bench.SignOff(f.t.Context(), f.s.Hall, by, f.s.Scope, f.s.On(f.t, p.Version), bench.Word{Collection: p.ID,
		Name: hall.NameInput{Text: name}, Basis: "macroscopic", Remarks: reason}); err != nil {
		f.t.Fatal(err)
	}
}

func (f *floor) suggested(number string, by access.Actor) string {
	f.t.Helper()
	done, err := bench.GiveFieldName(f.t.Context(), f.s.Hall, by, f.s.Scope, f.s.Command(f.t), bench.FieldName{Collection: f.plate(number).ID,
		Names: []hall.NameInput{{Text: "Kuehneromyces mutabilis"}}})
	if err != nil {
		f.t.Fatal(err)
	}
	return done.Slip.String()
}

// contactSeq types a new number in, which then waits for its test call.
func (f *floor) contactSeq() int {
	f.t.Helper()
	done, err := safety.TypeContact(f.t.Context(), f.s.Hall, f.s.As[access.SafetyLead], f.s.Scope, f.s.Command(f.t), safety.Contact{Name: "Poison line", Phone: "0300 555 0142"})
	if err != nil {
		f.t.Fatal(err)
	}
	return done.Seq
}

// TestScribeWritesAndDoesNotSign: a scribe's own name under a determination would be a determination by nobody.
func TestScribeWritesAndDoesNotSign(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		number := f.collection("Mei Adeyemi")
		b, path := f.at[access.Scribe], event+"/c/"+number+"/sign"
		v := url.Values{"command": {g.Command(t).ID.String()}, "choice": {"other"}, "name": {"Galerina marginata"}, "basis": {"macroscopic"}}
		before := f.seq()
		b.post(path, v).want(http.StatusForbidden)
		v.Set("determiner", g.As[access.Desk].Person.String())
		b.post(path, v).want(http.StatusUnprocessableEntity)
		if f.seq() != before {
			t.Error("a refused sign-off changed something")
		}
	})
}

// TestRightsAreReadAnew: what was taken away is gone with the next request, without signing out.
func TestRightsAreReadAnew(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		b := f.at[access.Desk]
		b.get(event + "/intake").want(http.StatusOK)
		if _, err := setup.TakeRight(t.Context(), g.Hall, g.Machine, g.Scope, g.Command(t), setup.Right{Person: g.As[access.Desk].Person, Right: access.Desk}); err != nil {
			t.Fatal(err)
		}
		b.get(event+"/intake").want(http.StatusForbidden, message.For(message.English).Say("pages.problem.not-allowed"))
		b.post(event+"/intake", url.Values{"command": {g.Command(t).ID.String()}, "number": {"77"}, "group": {"bolete"}}).want(http.StatusForbidden)
		n, _ := foray.ParseNumber("77", "HB26")
		if _, err := bench.SeeCollection(t.Context(), g.Hall, g.As[access.Organiser], g.Scope, n); !fault.Is(err, fault.NotFound) {
			t.Errorf("0077: %v, want that it was not logged", err)
		}
	})
}
