package api_test

import (
	"testing"

	"forayhall/internal/api"
	"forayhall/internal/foray"
)

// A device can ask for the signs that a sign-off wants, answer them, and read them back.
func TestSignsAreToldAnsweredAndReadBack(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		id, number := s.logged(t)
		status(t, s.send(t, "desk", s.cmd(t, "slip.field-name.v1", object{"collection": id, "names": []object{{"text": "Amanita phalloides"}}}))[0], "applied")
		at := "/hollinbeck/HB26/collections/" + number
		seen := see[api.Detail](t, s, "identifier", at)
		if len(seen.LookFor) == 0 || seen.LookFor[0].Name != "Amanita phalloides" || len(seen.LookFor[0].Signs) < 3 {
			t.Fatalf("look for %+v", seen.LookFor)
		}
		sign := seen.LookFor[0].Signs[0]
		status(t, s.send(t, "identifier", on(1, s.cmd(t, "slip.sign-off.v1", object{"collection": id, "name": object{"text": "Amanita phalloides"}, "basis": "macroscopic",
			"looked": []object{{"sign": sign.ID, "answer": "not_visible"}}})))[0], "applied")
		slips := see[api.Detail](t, s, "identifier", at).Slips
		looked := slips[len(slips)-1].Looked
		if len(looked) < len(seen.LookFor[0].Signs) || looked[0].Sign != sign.ID || looked[0].Answer != foray.NotVisible || looked[1].Answer != foray.NotRecorded {
			t.Errorf("looked for %+v", looked)
		}
	})
}
