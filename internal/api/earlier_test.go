package api_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"forayhall/internal/api"
	"forayhall/internal/foray"
)

// wholeEarlier is a command of the earlier lists to which nothing but a right could be lacking.
func (s *served) wholeEarlier(t *testing.T, kind string) object {
	t.Helper()
	s.planned++
	switch kind {
	case "earlier-list.add.v1":
		return s.cmd(t, kind, listOf(s.planned))
	case "earlier-list.withdraw.v1":
		return s.cmd(t, kind, object{"list": s.earlierList(t), "reason": "another edition"})
	}
	return nil
}

// listOf is a list with a line of its own.
func listOf(n int) object {
	return object{"title": fmt.Sprint("List ", n), "scope": "society", "source": "minutes", "as_written": true, "table": fmt.Sprintf("name\nBoletus badius\nInventaria %s\n", strings.Repeat("a", n))}
}

// earlierList takes a list in.
func (s *served) earlierList(t *testing.T) foray.ID {
	t.Helper()
	s.planned++
	got := s.send(t, "list_keeper", s.cmd(t, "earlier-list.add.v1", listOf(s.planned)))[0]
	status(t, got, "applied")
	id, err := foray.ParseID(fmt.Sprint(got.Result["id"]))
	s.must(t, err)
	return id
}

// Would catch an answer that is called unchanged though a list was taken in, a list that is lost between what is sent and
// what is read, and names that are guessed.
func TestEarlierListsAreSentReadAndComparedWith(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		furnish(t, s)
		before := see[api.FirstRecords](t, s, "visitor", "/hollinbeck/HB26/firsts")
		if len(before.Taxa) != 0 || len(before.Compared) == 0 || !before.Compared[0].Nothing {
			t.Errorf("with nothing to compare with: %+v", before)
		}
		tag := s.call(t, "visitor", http.MethodGet, "/hollinbeck/HB26/firsts", nil).Header.Get("ETag")
		list := object{"title": "Fungi of Fellshire", "scope": "record", "area": "Fellshire", "source": "Pugh 2020", "table": "name,date,locality\nBoletus badius,Oct 1998,Nether Holt\nAmanita muscara,,\n"}
		asked := s.send(t, "list_keeper", s.cmd(t, "earlier-list.add.v1", list))[0]
		if asked.Status != "refused" || asked.Problem.Status != 422 || !strings.Contains(fmt.Sprint(asked.Problem), "Amanita muscara") {
			t.Errorf("a misspelling is not asked back: %+v %+v", asked, asked.Problem)
		}
		list["take"] = []string{"Amanita muscara"}
		taken := s.send(t, "list_keeper", s.cmd(t, "earlier-list.add.v1", list))[0]
		status(t, taken, "applied")
		all := see[api.EarlierLists](t, s, "desk", "/hollinbeck/HB26/earlier-lists").Lists
		if len(all) != 1 || all[0].Lines != 2 || all[0].Species != 2 || all[0].From != "1998-10-01" || all[0].Area != "Fellshire" {
			t.Fatalf("%+v", all)
		}
		lines := see[api.EarlierLines](t, s, "desk", "/hollinbeck/HB26/earlier-lists/"+all[0].ID.String()+"?after=2")
		if len(lines.Lines) != 1 || lines.Lines[0].Verbatim != "Amanita muscara" || lines.Lines[0].Current != "Amanita muscaria" || lines.Header != "name,date,locality" {
			t.Errorf("%+v", lines)
		}
		after := see[api.FirstRecords](t, s, "visitor", "/hollinbeck/HB26/firsts")
		if len(after.Taxa) == 0 || after.Taxa[0].Firsts[0].Words != "possible first for Fellshire" || len(after.Taxa[0].Firsts[0].Missing) == 0 {
			t.Errorf("%+v", after.Taxa)
		}
		if now := s.call(t, "visitor", http.MethodGet, "/hollinbeck/HB26/firsts", nil).Header.Get("ETag"); tag == "" || now == tag {
			t.Errorf("the tag is %q still", now)
		}
	})
}
