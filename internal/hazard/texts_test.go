package hazard

import (
	"testing"

	"forayhall/internal/message"
)

func TestEveryRuleExposureStateAndSeverityHasWords(t *testing.T) {
	var texts []message.Text
	for v := range surest {
		texts = append(texts, v.Text())
	}
	for _, e := range exposures {
		texts = append(texts, e.Text())
	}
	for _, s := range []State{Provisional, Confirmed, Disputed, BroughtIn} {
		texts = append(texts, s.Text())
	}
	for severity := range 6 {
		texts = append(texts, SeverityText(severity))
	}
	texts = append(texts, lack(Contact{}), lack(Contact{Name: "x", Phone: "1", TypedBy: "y"}))
	for _, text := range texts {
		if !message.Has(text.Key) {
			t.Errorf("%s has no text", text.Key)
		}
	}
}
