package pages_test

import (
	"net/http"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/browsertest"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// TestAskingForACorrectionInABrowser: without scripts on a phone, and at a desk; every page is held against axe.
func TestAskingForACorrectionInABrowser(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	for kind, size := range map[string]browsertest.Size{"correct-phone": browsertest.Phone, "correct-desktop": browsertest.Desktop} {
		t.Run(kind, func(t *testing.T) {
			f := newFloor(t, newSite(t, halltest.New(t, storetest.New(t, store.SQLite))))
			number := f.collection("Mei Adeyemi")
			if _, err := setup.IssueBlock(t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope, f.s.Command(t), setup.Block{From: 901, To: 905, Person: "Dora Vale"}); err != nil {
				t.Fatal(err)
			}
			at := func(who string) *window { return f.s.window(t, b, kind+"-"+who, size, size != browsertest.Phone) }
			visitor := at("visitor").open(event + "/correct?about=" + number).says("Ask for a correction").shoot("form")
			visitor.send(event+"/correct", http.StatusUnprocessableEntity, "kind", "name", "about", "9999", "words", "it had a ring").says("9999").shoot("wrong")
			visitor.send(event+"/correct", http.StatusOK, "about", number, "from", "Dora Vale").says("Your request 1", "it had a ring").shoot("own")
			keeper := at("keeper").signIn("list_keeper").open(event+"/corrections").says("it had a ring", "1 open").shoot("open")
			keeper.send(event+"/corrections/answer", http.StatusUnprocessableEntity, "changed", "field", "words", "It was a larch.").shoot("not-yet")
			keeper.send(event+"/corrections/answer", http.StatusOK, "changed", "", "words", "It had none.").says("1 answered").shoot("answered")
			at("organiser").signIn("organiser").open(event+"/close").says("Personal data", "Backups").shoot("close")
		})
	}
}
