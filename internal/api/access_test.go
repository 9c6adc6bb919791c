package api_test

import (
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/api"
	"forayhall/internal/foray"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/outside"
	"forayhall/internal/store"
)

var personas = []string{"visitor", "member", "team_leader", "desk", "scribe", "steward", "identifier", "chief_identifier",
	"safety_lead", "list_keeper", "organiser", stranger}

var fillIn = strings.NewReplacer("{society}", "hollinbeck", "{event}", "HB26", "/tables/{number}", "/tables/1", "/teams/{number}", "/teams/1", "{number}", "0001", "{version}", "1", "{name}", "Amanita_phalloides")

func TestEveryRouteAnswersEveryPersonaAsDrawn(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		furnish(t, s)
		rows := strings.Split(strings.TrimSpace(drawnRoutes), "\n")
		same(t, "routes", firsts(rows, "#", 2), operations(s))
		for _, row := range rows {
			f := strings.Fields(row)
			got := make([]string, len(personas))
			for i, as := range personas {
				got[i] = fmt.Sprint(s.knock(t, as, f[0], f[1]))
			}
			compare(t, f[0]+" "+f[1], got, f[2:])
		}
	})
}

// firsts are the first n words of each row, up to a mark, each once and in order.
func firsts(rows []string, mark string, n int) []string {
	all := make([]string, len(rows))
	for i, row := range rows {
		all[i], _, _ = strings.Cut(strings.Join(strings.Fields(row)[:n], " "), mark)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// same demands that everything there is was drawn, and nothing else.
func same(t *testing.T, what string, drawn, real []string) {
	t.Helper()
	lacks := func(a, b []string) []string {
		return slices.DeleteFunc(slices.Clone(b), func(one string) bool { return slices.Contains(a, one) })
	}
	if missing, extra := lacks(drawn, real), lacks(real, drawn); len(missing)+len(extra) > 0 {
		t.Errorf("%s that nobody drew: %q; drawn and not there: %q", what, missing, extra)
	}
}

func (s *served) knock(t *testing.T, as, method, path string) int {
	t.Helper()
	if path, way, _ := strings.Cut(path, "#"); strings.HasSuffix(path, "/{incident}") {
		at := fillIn.Replace(strings.TrimSuffix(path, "{incident}")) + s.incident(t, s.owner(as, way)).String()
		return s.call(t, as, method, at, nil).StatusCode
	}
	if strings.HasSuffix(path, "/earlier-lists/{list}") {
		return s.call(t, as, method, fillIn.Replace(strings.TrimSuffix(path, "{list}"))+s.earlierList(t).String(), nil).StatusCode
	}
	if strings.HasSuffix(path, "/photographs") && method == http.MethodPost {
		status, _ := s.sendPicture(t, as, "&kind=find&subject=0001", 1)
		return status
	}
	if strings.HasSuffix(path, "/photographs/{id}/{size}") {
		shown := see[api.Photographs](t, s, "visitor", "/hollinbeck/HB26/photographs").Photographs[0]
		return s.call(t, as, method, shown.Full[len(api.Prefix):], nil).StatusCode
	}
	if method == http.MethodPost {
		return s.batch(t, as, object{"society": "hollinbeck", "event": "HB26", "commands": []object{{}}}).StatusCode
	}
	return s.call(t, as, method, fillIn.Replace(path), nil).StatusCode
}

// settled marks everybody of team 1 home, so that nobody is waited for.
func (s *served) settled(t *testing.T) {
	t.Helper()
	s.Pass(time.Minute) // of two marks of one moment neither is the later
	all, err := outside.SeeTeam(ctx, s.Hall, s.As[access.Organiser], s.Scope, 1)
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range all.Sheets[0].Lines {
		status(t, s.send(t, "organiser", s.cmd(t, "team.mark.v1", object{"team": "1", "member": line.ID, "kind": "left_early"}))[0], "applied")
	}
	status(t, s.send(t, "organiser", s.cmd(t, "team.back.v1", object{"team": "1", "heads": 0}))[0], "applied")
}

// ownPair is a pair of the society's, another one with each number.
func ownPair(n int) object {
	return object{"gathered": "Boletus edulis", "poisonous": "Amanita phalloides", "differences": fmt.Sprint("pores, case ", n), "source": "minutes"}
}

// joined puts somebody on the sheet of team 1.
func (s *served) joined(t *testing.T, n int) any {
	t.Helper()
	got := s.send(t, "organiser", s.cmd(t, "member.add.v1", object{"team": "1", "name": fmt.Sprint("Walker ", n)}))[0]
	status(t, got, "applied")
	return got.Result["member"]
}

func compare(t *testing.T, what string, got, want []string) {
	t.Helper()
	t.Logf("%-44s got  %s", what, strings.Join(got, " "))
	if strings.Join(got, " ") != strings.Join(want, " ") {
		t.Errorf("%-44s want %s", what, strings.Join(want, " "))
	}
}

// furnish brings in something for every view to show.
func furnish(t *testing.T, s *served) {
	t.Helper()
	organiser := s.send(t, "organiser",
		s.cmd(t, "site.add.v1", object{"code": "DELL", "name": secretName, "latitude": secretLatitude, "longitude": secretLongitude, "sensitive": true, "permitted": true}),
		s.cmd(t, "table.add.v1", object{"number": 1, "title": "Boletes"}))
	status(t, organiser[0], "applied")
	status(t, organiser[1], "applied")
	for _, text := range []string{"Boletus edulis", "Amanita phalloides", "Cortinarius sp.", "Nothing known"} {
		s.number++
		logged := s.send(t, "desk", s.cmd(t, "collection.log.v1", object{"number": foray.Number{Base: s.number}.String(),
			"field": object{"group": "bolete", "site": "DELL", "collector": secretCollector, "remarks": secretRemark}}))[0]
		status(t, logged, "applied")
		id := logged.Result["id"]
		status(t, s.send(t, "second", on(0, s.cmd(t, "slip.sign-off.v1", object{"collection": id, "name": object{"text": text, "reason": secretRemark},
			"basis": "macroscopic", "remarks": secretRemark})))[0], "applied")
		status(t, s.send(t, "desk", s.cmd(t, "character.note.v1", object{"collection": id, "characters": []object{{"character": "odour", "words": secretRemark}}}))[0], "applied")
		status(t, s.send(t, "steward", s.cmd(t, "plate.place.v1", object{"collection": id, "where": "table", "table": "1"}))[0], "applied")
	}
	s.logged(t)
	status(t, s.send(t, "safety_lead", s.cmd(t, "poison-contact.type.v1", object{"name": "Poison line", "phone": "+44 000 000"}))[0], "applied")
	for _, outside := range s.send(t, "organiser",
		s.cmd(t, "team.add.v1", object{"number": 1, "name": "Otters", "leader": "Person team_leader", "site": "DELL"}),
		s.cmd(t, "walk.add.v1", object{"number": 1, "site": "DELL", "starts_at": halltest.Saturday.Add(time.Hour), "due_at": halltest.Saturday.Add(3 * time.Hour)})) {
		status(t, outside, "applied")
	}
	seq := see[struct {
		Seq int64 `json:"change_seq"`
	}](t, s, "list_keeper", "/hollinbeck/HB26/list").Seq
	status(t, s.send(t, "list_keeper", s.cmd(t, "list.publish.v1", object{"change_seq": seq}))[0], "applied")
}

func TestEveryCommandOfEveryPersonaComesToWhatIsDrawn(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		furnish(t, s)
		rows := strings.Split(strings.TrimSpace(drawnCommands), "\n")
		same(t, "commands", firsts(rows, "/", 1), taken(t, s))
		for _, row := range rows {
			f := strings.Fields(row)
			asked := personas[1 : len(personas)-1]
			got, tried := make([]string, len(asked)), map[string]bool{}
			copy(got, f[1:])
			for i, as := range asked {
				// Who may do what is the same code on both: on Postgres the first of each answer is asked.
				if s.Store.Dialect() == store.SQLite || !tried[got[i]] {
					tried[got[i]] = true
					s.barred = f[i+1] == "." // whoever may not, may not for whatever state the event is in
					got[i] = s.attempt(t, as, f[0])
				}
			}
			compare(t, f[0], got, f[1:])
		}
	})
}

// taken are the commands that the document says are taken.
func taken(t *testing.T, s *served) (all []string) {
	t.Helper()
	doc := see[struct {
		Components struct{ Schemas map[string]any }
	}](t, s, "visitor", "/openapi.json")
	for name := range doc.Components.Schemas {
		if kind, ok := strings.CutPrefix(name, "command."); ok {
			all = append(all, kind)
		}
	}
	return all
}

func (s *served) attempt(t *testing.T, as, row string) string {
	t.Helper()
	kind, way, _ := strings.Cut(row, "/")
	got := s.send(t, as, s.whole(t, as, kind, way))[0]
	switch {
	case got.Status == "applied":
		return "x"
	case got.Status == "refused" && got.Problem.Status == http.StatusForbidden:
		return "."
	case got.Status == "refused" && got.Problem.Status == http.StatusNotFound:
		return "-"
	}
	t.Errorf("%s as %s: %+v %+v", row, as, got, got.Problem)
	return "?"
}

// whole is a command to which nothing but a right of whoever sends it could be lacking.
func (s *served) whole(t *testing.T, as, kind, way string) object {
	t.Helper()
	if o := s.wholeOwn(t, as, kind, way); o != nil { // some of it after the event was closed, when nothing is logged any more
		return o
	}
	if o := s.wholeFloor(t, kind, way); o != nil {
		return o
	}
	if o := s.wholeCorrection(t, kind, way); o != nil {
		return o
	}
	if o := s.wholeEarlier(t, kind); o != nil {
		return o
	}
	if o := s.wholeVouchers(t, kind, way); o != nil {
		return o
	}
	c, _ := s.logged(t)
	s.number++
	n := s.number
	word := object{"collection": c, "name": object{"text": "Boletus edulis"}, "basis": "macroscopic"}
	switch kind + "/" + way {
	case "photograph.hide.v1/":
		_, number := s.logged(t)
		_, data := s.sendPicture(t, "second", "&kind=find&subject="+number, n)
		return s.cmd(t, kind, object{"photograph": read[api.SentPhotograph](t, data).Photograph, "reason": "a face"})
	case "collection.log.v1/":
		return s.cmd(t, kind, object{"number": fmt.Sprint(n), "field": object{"group": "bolete", "outside": true}})
	case "invitation.make.v1/":
		return s.cmd(t, kind, object{"name": fmt.Sprintf("Guest %d", n), "rights": []string{"desk"}})
	case "invitation.take-back.v1/":
		return s.cmd(t, kind, object{"invitation": s.invited(t)})
	case "pass.make.v1/":
		return s.cmd(t, kind, object{"right": "steward", "label": "Saturday"})
	case "pass.end.v1/":
		return s.cmd(t, kind, object{})
	case "credit.set.v1/":
		return s.cmd(t, kind, object{"credit": "initials"})
	case "collection.correct.v1/":
		return s.cmd(t, kind, object{"collection": c, "field": object{"group": "webcap"}})
	case "collection.split.v1/":
		return s.cmd(t, kind, object{"collection": c, "parts": []object{{}, {"group": "webcap"}}})
	case "collection.merge.v1/":
		other, _ := s.logged(t)
		return s.cmd(t, kind, object{"collection": other, "into": fmt.Sprint(n - 1), "reason": "one find"})
	case "collection.spoil.v1/":
		return s.cmd(t, kind, object{"collection": c, "reason": "typed twice"})
	case "collection.hand.v1/":
		return s.cmd(t, kind, object{"numbers": []string{fmt.Sprint(n - 1)}})
	case "number.fate.v1/":
		return s.cmd(t, kind, object{"number": fmt.Sprint(n), "fate": "unused"})
	case "character.note.v1/":
		return s.cmd(t, kind, object{"collection": c, "characters": []object{{"character": "odour", "words": "of meal"}}})
	case "slip.field-name.v1/":
		return s.cmd(t, kind, object{"collection": c, "names": []object{{"text": "Boletus edulis"}}})
	case "bench.groups.v1/":
		return s.cmd(t, kind, object{"groups": []string{"bolete"}})
	case "bench.groups.v1/of-a-determiner":
		return s.cmd(t, kind, object{"person": s.Third.Person, "groups": []string{"bolete"}})
	case "slip.sign-off.v1/":
		return on(0, s.cmd(t, kind, word))
	case "slip.sign-off.v1/for-a-determiner":
		word["determiner"] = s.Third.Person
		return on(0, s.cmd(t, kind, word))
	case "slip.not-nameable.v1/", "slip.not-fungus.v1/":
		return on(0, s.cmd(t, kind, object{"collection": c, "basis": "macroscopic"}))
	case "slip.strike.v1/of-the-identifier":
		slip := s.send(t, "identifier", on(0, s.cmd(t, "slip.sign-off.v1", word)))[0]
		return on(1, s.cmd(t, kind, object{"collection": c, "slip": slip.Result["slip"], "remarks": "wrong plate"}))
	case "plate.place.v1/table":
		return s.cmd(t, kind, object{"collection": c, "where": "table", "table": "1"})
	case "plate.place.v1/desk":
		return s.cmd(t, kind, object{"collection": c, "where": "desk"})
	case "plate.place.v1/dryer":
		return s.cmd(t, kind, object{"collection": c, "where": "dryer", "position": "tray 2"})
	case "team.out.v1/":
		return s.cmd(t, kind, object{"team": "1", "heads": 1, "marks": []object{{"member": s.joined(t, n), "kind": "out"}}})
	case "team.heard.v1/", "team.hand-in.v1/":
		return s.cmd(t, kind, object{"team": "1"})
	case "team.back.v1/":
		return s.cmd(t, kind, object{"team": "1", "heads": 1, "marks": []object{{"member": s.joined(t, n), "kind": "back"}}})
	case "team.mark.v1/":
		return s.cmd(t, kind, object{"team": "1", "member": s.joined(t, n), "kind": "left_early"})
	case "team.act.v1/":
		return s.cmd(t, kind, object{"team": "1", "act": "rung"})
	case "sheet.enter.v1/":
		return s.cmd(t, kind, object{"team": "1", "out_at": halltest.Saturday.Add(-3 * time.Hour), "lines": []object{{"name": fmt.Sprint("Paper ", n), "how": "left_early",
			"ended_at": halltest.Saturday.Add(-time.Hour)}}})
	case "member.add.v1/":
		return s.cmd(t, kind, object{"team": "1", "name": fmt.Sprint("Walk-up ", n), "out": true})
	case "member.change.v1/":
		return s.cmd(t, kind, object{"id": s.joined(t, n), "name": fmt.Sprint("Renamed ", n)})
	case "member.take-off.v1/":
		return s.cmd(t, kind, object{"id": s.joined(t, n)})
	case "member.private.v1/":
		return s.cmd(t, kind, object{"id": s.joined(t, n), "phone": "+44 000 000"})
	case "walk.wish.v1/":
		return s.cmd(t, kind, object{"walks": []any{}})
	case "list.publish.v1/":
		seq, err := s.ChangeSeq(ctx, s.Scope)
		if err != nil {
			t.Fatal(err)
		}
		return s.cmd(t, kind, object{"change_seq": seq})
	case "poison-contact.type.v1/":
		return s.cmd(t, kind, object{"name": "Poison line", "phone": "+44 000 000"})
	case "hazard.add.v1/":
		return s.cmd(t, kind, object{"taxon": "Suillus luteus", "syndrome": "gut", "source": "minutes"})
	case "hazard.pair.v1/":
		return s.cmd(t, kind, ownPair(n))
	case "hazard.contest.v1/":
		return s.cmd(t, kind, object{"about": "Amanita phalloides / amatoxin", "reason": "another was meant", "source": "minutes"})
	case "hazard.import.v1/":
		return s.cmd(t, kind, object{"file": "own.csv", "pairs": []object{{"line": 2, "pair": ownPair(n)}}})
	case "hazard.withdraw.v1/":
		written := s.send(t, "safety_lead", s.cmd(t, "hazard.pair.v1", ownPair(n)))[0]
		return s.cmd(t, kind, object{"entry": written.Result["entry"], "reason": "another was meant"})
	case "poison-contact.test.v1/":
		typed := s.send(t, "safety_lead", s.cmd(t, "poison-contact.type.v1", object{"name": "Poison line", "phone": "+44 000 000"}))[0]
		return s.cmd(t, kind, object{"seq": typed.Result["seq"]})
	case "site.add.v1/":
		return s.cmd(t, kind, object{"code": fmt.Sprint("S", n), "name": "Beech hanger", "permitted": true})
	case "team.add.v1/", "table.add.v1/":
		return s.cmd(t, kind, object{"number": 500 + n%400})
	case "right.give.v1/":
		return s.cmd(t, kind, object{"name": "Ines Halloway", "right": "steward"})
	case "right.take.v1/":
		return s.cmd(t, kind, object{"person": s.As[access.Steward].Person, "right": "desk"})
	case "event.add.v1/":
		return s.cmd(t, kind, object{"code": fmt.Sprint("EV", n), "name": "Spring foray", "starts_on": "2027-04-10", "time_zone": "Europe/London", "region": "EU"})
	}
	if o := s.wholeSetUp(t, kind); o != nil {
		return o
	}
	t.Fatalf("no command for %s/%s", kind, way)
	return nil
}

func TestATokenIsGoodForAsLongAndAsMuchAsItWasMadeFor(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		browser, _, err := s.Desk.SignIn(ctx, "desk", halltest.Password)
		if err != nil {
			t.Fatal(err)
		}
		limited, err := s.Desk.Token(ctx, "organiser", "scanner", []access.Right{access.Member}, time.Hour)
		if err != nil {
			t.Fatal(err)
		}
		ask := func(headers ...string) (int, string) {
			resp := s.call(t, "visitor", http.MethodGet, "/hollinbeck/HB26/queue", nil, headers...)
			return resp.StatusCode, resp.Header.Get("WWW-Authenticate")
		}
		for name, c := range map[string]struct {
			header, value string
			status        int
		}{
			"a bearer token":                     {"Authorization", "Bearer " + s.tokens["desk"], 200},
			"any case of the scheme":             {"Authorization", "bearer " + s.tokens["desk"], 200},
			"a session cookie":                   {"Cookie", "forayhall=" + browser, 200},
			"a token in a cookie":                {"Cookie", "forayhall=" + s.tokens["desk"], 401},
			"a browser's session as a token":     {"Authorization", "Bearer " + browser, 401},
			"another cookie":                     {"Cookie", "session=" + browser, 401},
			"a token that is none":               {"Authorization", "Bearer x.y.z", 401},
			"another scheme":                     {"Authorization", "Basic eDp5", 401},
			"a token limited below what it asks": {"Authorization", "Bearer " + limited, 403},
		} {
			got, challenge := ask(c.header, c.value)
			if got != c.status || (got == 401) != strings.HasPrefix(challenge, "Bearer") {
				t.Errorf("%s: %d with challenge %q, want %d", name, got, challenge, c.status)
			}
		}
		if got, _ := s.get(t, "visitor", "/events", "Authorization", "Bearer x.y.z"); got != 401 {
			t.Errorf("a bad token on a public view: %d, want to be told", got)
		}
		s.Pass(2 * time.Hour)
		if got, challenge := ask("Authorization", "Bearer "+s.tokens["desk"]); got != 401 || !strings.Contains(challenge, "invalid_token") {
			t.Errorf("after its time: %d %s", got, challenge)
		}
	})
}
