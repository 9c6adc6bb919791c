package pages_test

import (
	"net/http"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/hall/halltest"
)

func TestOneCollectionFromBasketToListAndWarningSheet(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		s := newSite(t, g)
		desk := s.as(t, access.Desk)
		desk.get(event+"/intake").want(http.StatusOK, "HB26")
		desk.send(event+"/intake", "number", "0417", "group", "small_brown", "collector", "Mei Adeyemi", "odour", "meal", "cut_change", "browner", "cut_seconds", "30").
			want(http.StatusOK, "0417")
		desk.get(event+"/intake").send(event+"/intake", "number", "417", "group", "bolete").
			want(http.StatusConflict, "0417 was already logged at 14:40 by Person desk")

		visitor := s.browser(t)
		visitor.get(event+"/warnings").want(http.StatusOK, "treat it as poisonous", "0417")

		desk.get(event+"/c/0417").want(http.StatusOK, "Mei Adeyemi", "meal", "browner")
		desk.send(event+"/c/0417/field-name", "name_1", "Kuehneromyces mutabilis", "reason_1", "scaly below the ring").want(http.StatusOK, "Kuehneromyces mutabilis")
		visitor.get(event + "/warnings").want(http.StatusOK).not("Galerina marginata 0417")
		desk.get(event+"/c/0417").send(event+"/c/0417/field-name", "name_1", "Kuehneromyces mutabilis", "name_2", "Galerina marginata", "reason_2", "smooth below the ring?")
		visitor.get(event+"/warnings").want(http.StatusOK, "Galerina marginata")

		ident := s.as(t, access.Identifier)
		ident.get(event+"/queue").want(http.StatusOK, "0417", "Galerina marginata")
		second := s.named(t, "second")
		second.get(event + "/c/0417")
		ident.get(event+"/c/0417").send(event+"/c/0417/sign", "choice", "Kuehneromyces mutabilis", "basis", "macroscopic").want(http.StatusOK, "Kuehneromyces mutabilis")
		visitor.get(event+"/list").want(http.StatusOK, "Not final", "Kuehneromyces mutabilis")
		sheet := visitor.get(event + "/warnings")
		if block := sheet.section("block-a"); contains(block, "Galerina marginata") && contains(block, "0417") && !contains(block, "Taken for") {
			t.Errorf("signing the first choice left the second on the sheet: %s", block)
		}

		second.send(event+"/c/0417/sign", "choice", "Galerina marginata", "basis", "microscopy", "remarks", "fibrils below the ring").
			want(http.StatusConflict, "Person identifier")
		second.send(event+"/c/0417/sign", "choice", "other", "name", "Galerina marginata", "basis", "microscopy", "remarks", "fibrils below the ring").want(http.StatusOK)
		visitor.get(event+"/warnings").want(http.StatusOK, "Galerina marginata")
		if !contains(visitor.section("block-a"), "Galerina marginata") {
			t.Errorf("a dissent did not bring the deadly name back: %s", visitor.section("block-a"))
		}
		third := s.named(t, "third")
		third.get(event+"/c/0417").want(http.StatusOK, "fibrils below the ring")
		third.send(event+"/c/0417/sign", "choice", "Galerina marginata", "basis", "comparison").want(http.StatusOK)

		steward := s.as(t, access.Steward)
		steward.get(event + "/c/0417")
		steward.send(event+"/c/0417/place", "where", "table", "table", s.table(t, 3), "position", "B2").want(http.StatusOK, "Hazards")
		visitor.get(event+"/tables").want(http.StatusOK, "0417", "Galerina marginata")

		keeper := s.as(t, access.ListKeeper)
		keeper.get(event+"/publish").want(http.StatusOK).send(event+"/publish", "sign", "yes").want(http.StatusOK, "Galerina marginata", "Signed by Person list_keeper")
		visitor.get(event+"/list/1").want(http.StatusOK, "List version 1", "Galerina marginata")
		first := visitor.get(event + "/list/1/json").body
		third.get(event + "/c/0417")
		third.send(event+"/c/0417/sign", "choice", "other", "name", "Galerina sp.", "basis", "comparison").want(http.StatusOK)
		if visitor.get(event+"/list/1/json").body != first {
			t.Error("a published version changed")
		}
		visitor.get(event+"/warnings").want(http.StatusOK, "Named too widely", "Galerina")
	})
}
