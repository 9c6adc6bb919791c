package pages_test

import (
	"net/http"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/browsertest"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// TestComingInAndOnesOwnPageInABrowser: without scripts on a phone, and at a desk; every page is held against axe.
func TestComingInAndOnesOwnPageInABrowser(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	for kind, size := range map[string]browsertest.Size{"people-phone": browsertest.Phone, "people-desktop": browsertest.Desktop} {
		t.Run(kind, func(t *testing.T) {
			f := newFloor(t, newSite(t, halltest.New(t, storetest.New(t, store.SQLite))))
			at := func(who string) *window { return f.s.window(t, b, kind+"-"+who, size, size != browsertest.Phone) }
			link := f.pass(access.Desk).Path
			walkIn := at("walk-in").open(link).shoot("entry")
			walkIn.send(link, http.StatusOK, "name", "Ana Ferreira").shoot("in")
			organiser := at("organiser").signIn("organiser").open(event+"/people").says("Ana Ferreira", "Saturday").shoot("people")
			organiser.send(event+"/people/pass", http.StatusOK, "right", "steward", "label", "Tables").says("Scan this").shoot("poster")
			organiser.open("/me").says("HB26").shoot("me")
			invitation := f.invitation("Dora Vale").Path
			at("guest").open(invitation).says("Dora Vale").shoot("invited")
			at("desk").signIn("desk").open("/me").says("Leave and delete").shoot("own")
		})
	}
}
