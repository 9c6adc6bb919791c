package pages_test

import (
	"net/http"
	"os"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/browsertest"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// TestATeamOutAndBackInABrowser: the leader's telephone without scripts, the desk with them; by day and by night.
func TestATeamOutAndBackInABrowser(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	for kind, size := range map[string]browsertest.Size{"teams-phone": browsertest.Phone, "teams-desktop": browsertest.Desktop} {
		t.Run(kind, func(t *testing.T) {
			f := newFloor(t, newSite(t, halltest.New(t, storetest.New(t, store.SQLite))))
			scripts := size != browsertest.Phone
			mei := f.walker(91)
			f.joins(91, "Tobi Marsh")
			f.joins(91, "Adaeze Marsh")
			look := func(w *window, name string) {
				t.Helper()
				w.shoot(name)
				for _, wrong := range w.smallTargets() {
					t.Errorf("%s: %s", name, wrong)
				}
				if scripts && os.Getenv("FORAYHALL_AXE") != "" {
					w.tab.MustBeAccessible(t)
				}
			}
			leader := f.s.window(t, b, kind+"-leader", size, scripts).signIn("team_leader").open(event + "/team")
			look(leader, "before")
			leader.send(event+"/team/91/out", http.StatusOK, "heads", "3").says("out", "3 are not back")
			look(leader, "out")
			leader.open(event + "/team/91/member?id=" + mei)
			look(leader, "one")
			leader.open(event + "/team/91/private")
			look(leader, "private")
			f.s.Pass(2 * time.Hour)
			leader.open(event+"/team").send(event+"/team/91/back", http.StatusUnprocessableEntity, "heads", "2").says("You counted 2, and 3 names should be here.")
			look(leader, "refused")
			f.submit(f.at[access.TeamLeader], "/team/91/back", "heads", "2", "here", mei).want(http.StatusSeeOther)
			f.s.Pass(80 * time.Minute)
			leader.open(event + "/team")
			look(leader, "short")
			desk := f.s.window(t, b, kind+"-desk", size, scripts).signIn("desk").open(event + "/back")
			desk.says("One team is late")
			desk.tab.Scheme(t, "dark")
			look(desk, "back-dark")
			desk.open(event + "/hall")
			look(desk, "hall-dark")
			desk.tab.Scheme(t, "light")
			desk.open(event + "/back/sheet?team=91")
			look(desk, "paper")
			member := f.s.window(t, b, kind+"-member", size, scripts).signIn("member").open(event + "/walks/mine")
			look(member, "walks")
		})
	}
}

// TestATeamIsLateByTheClockAlone: nobody writes anything, and the open page says so all the same.
func TestATeamIsLateByTheClockAlone(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	f := newFloor(t, newSite(t, halltest.New(t, storetest.New(t, store.SQLite))))
	mei := f.walker(91)
	f.submit(f.at[access.TeamLeader], "/team/91/out", "heads", "1", "listed", mei, "going", mei).want(http.StatusSeeOther)
	f.s.Pass(3*time.Hour + 15*time.Minute - time.Second) // a second before the leader is rung
	desk := f.s.window(t, b, "teams-clock", browsertest.Desktop, true).signIn("desk").open(event + "/hall").mark()
	if strings.Contains(desk.text(), "Team 91 was due") {
		t.Fatal("it is late already")
	}
	f.s.Pass(time.Minute)
	desk.until("the hall page says that team 91 is late", `document.querySelector("#hall-late").textContent.includes("Team 91")`).neverReloaded()
}
