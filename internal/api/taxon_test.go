package api_test

import (
	"testing"

	"forayhall/internal/api"
)

func TestTheSheetOfANameSaysWhatThePageSays(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		furnish(t, s)
		got := see[api.TaxonHere](t, s, "desk", "/hollinbeck/HB26/taxa/Boletus_edulis")
		if got.Said != "boh-LEE-tus eh-DYOO-lis" || len(got.Formerly) != len(got.Former) || len(got.Glossary) == 0 {
			t.Errorf("said %q, former %v and %v, words %v", got.Said, got.Formerly, got.Former, got.Glossary)
		}
		if len(got.Wider) < 6 || got.Wider[len(got.Wider)-1] != (api.Wider{Rank: "kingdom", Name: "Fungi"}) {
			t.Errorf("the way up is %v", got.Wider)
		}
		in := got.Record.Confirmed + got.Record.Unsure
		if in != len(got.Finds) || in == 0 || len(got.Record.Years) != 1 || got.Record.Years[0].Year != 2026 {
			t.Errorf("the record of %d finds is %+v", len(got.Finds), got.Record)
		}
	})
}
