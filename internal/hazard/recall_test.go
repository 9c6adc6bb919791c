package hazard

import (
	"strconv"
	"testing"
)

func TestWhatIsRecalledIsBoundedAndRight(t *testing.T) {
	r := &recall{}
	asked := 0
	anew := func(q Question) (*answer, bool) {
		asked++
		return &answer{matched: q.Text, hits: make([]Finding, 40)}, true
	}
	for i := range 5000 {
		q := Question{Text: strconv.Itoa(i)}
		for range 2 {
			if a, ok := r.ask(q, anew); !ok || a.matched != q.Text {
				t.Fatalf("%s is answered as %+v", q.Text, a)
			}
		}
	}
	if asked != 5000 {
		t.Errorf("5000 questions, asked twice each, were worked out %d times", asked)
	}
	if r.held > mostRecalled || len(r.asked) > mostRecalled/40 {
		t.Errorf("%d held in %d answers", r.held, len(r.asked))
	}
}
