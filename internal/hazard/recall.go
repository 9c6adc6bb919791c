package hazard

import "sync"

// mostRecalled bounds what is kept, in findings and doubles: some 10 MB. A national foray's 500 names bring a few thousand,
// and what strangers type into an address must not fill the memory.
const mostRecalled = 50000

// recall keeps what was answered before. A base never changes, so that an answer stays true; a hall asks for the same few
// hundred names at every look at the sheet.
type recall struct {
	mu      sync.RWMutex
	asked   map[Question]recalled
	doubles map[string][]Double
	held    int // findings and doubles in both
}

// room forgets everything where so much more would be too much.
func (r *recall) room(more int) {
	if r.asked == nil || r.held+more > mostRecalled {
		r.asked, r.doubles, r.held = map[Question]recalled{}, map[string][]Double{}, 0
	}
	r.held += more
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
	more := 1
	if ok {
		more += len(a.hits)
	}
	r.room(more)
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
	r.room(1 + len(d))
	r.doubles[written] = d
	return d
}
