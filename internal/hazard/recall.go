package hazard

import "sync"

// mostRecalled bounds what is kept: a national foray has some 500 names in a few thousand spellings.
const mostRecalled = 20000

// recall keeps what was answered before. A base never changes, so that an answer stays true; a hall asks for the same few
// hundred names at every look at the sheet.
type recall struct {
	mu      sync.RWMutex
	asked   map[Question]recalled
	doubles map[string][]Double
}

func (b *Base) copied() Base {
	c := *b
	c.recall = &recall{}
	return c
}

type recalled struct {
	answer *answer
	ok     bool
}

// ask answers a question as before, or anew. Nobody changes what is answered.
func (r *recall) ask(q Question, anew func(Question) (*answer, bool)) (*answer, bool) {
	r.mu.RLock()
	before, known := r.asked[q]
	r.mu.RUnlock()
	if known {
		return before.answer, before.ok
	}
	a, ok := anew(q)
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.asked == nil || len(r.asked) >= mostRecalled {
		r.asked = map[Question]recalled{}
	}
	r.asked[q] = recalled{a, ok}
	return a, ok
}

func (r *recall) doublesOf(written string, anew func(string) []Double) []Double {
	r.mu.RLock()
	before, known := r.doubles[written]
	r.mu.RUnlock()
	if known {
		return before
	}
	d := anew(written)
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.doubles == nil || len(r.doubles) >= mostRecalled {
		r.doubles = map[string][]Double{}
	}
	r.doubles[written] = d
	return d
}
