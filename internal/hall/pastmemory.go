package hall

import (
	"cmp"
	"slices"
	"sync"

	"forayhall/internal/foray"
)

// PastMemory keeps what earlier lists and events make known, each under the names of one classification, and what an
// event is compared with. Whatever is kept carries the state that it was made from, which is read from the database each
// time: the number of an event's latest change, and for a comparison those of all lists and events in it. The zero value
// is ready; a nil one remembers nothing.
type PastMemory struct {
	mu    sync.Mutex
	kept  map[pastKey]*keptPast
	most  int // entries in all; 0: mostPast
	total int
	turn  int64
}

// pastKey says of what something is kept. Of each there is one, in the state that was asked for last.
type pastKey struct {
	society, of foray.ID // a list or an event
	compared    bool     // what the event is compared with; else what it makes known
	names       string   // revision of the classification
}

type keptPast struct {
	state  string
	ready  chan struct{} // closed when it is made
	made   weighty       // nil: it could not be made
	weight int
	asked  int64
}

// weighty is what can be kept: weight is about how many entries it has.
type weighty interface{ weight() int }

// mostPast is about how many species of lists, events and sites are kept in all: some forty megabytes. Two thousand
// events of a national body have about as many.
const mostPast = 600_000

// pastOf gives what is kept in a state, or makes it: once, for however many ask at a time. What fails is made again by
// whoever asks next.
func pastOf[T weighty](m *PastMemory, key pastKey, state string, read func() (T, error)) (T, error) {
	if m == nil {
		return read()
	}
	k, mine := m.place(key, state)
	if !mine {
		<-k.ready
		if made, ok := k.made.(T); ok {
			return made, nil
		}
		return read()
	}
	var made T
	var err error
	defer func() { m.end(key, k) }()
	if made, err = read(); err == nil {
		k.made = made
	}
	return made, err
}

// place finds what is kept, or holds the place for what the caller makes.
func (m *PastMemory) place(key pastKey, state string) (k *keptPast, mine bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.turn++
	if k = m.kept[key]; k != nil && k.state == state {
		k.asked = m.turn
		return k, false
	}
	if m.kept == nil {
		m.kept = map[pastKey]*keptPast{}
	}
	if k != nil {
		m.drop(key, k)
	}
	k = &keptPast{state: state, ready: make(chan struct{}), asked: m.turn}
	m.kept[key] = k
	return k, true
}

// end lets those who wait have what was made. It may have been overtaken by another state meanwhile.
func (m *PastMemory) end(key pastKey, k *keptPast) {
	m.mu.Lock()
	defer m.mu.Unlock()
	close(k.ready)
	switch {
	case m.kept[key] != k:
	case k.made == nil:
		delete(m.kept, key)
	default:
		k.weight = k.made.weight() + 8
		m.total += k.weight
		m.makeRoom(k)
	}
}

// makeRoom lets go of what was not asked for longest.
func (m *PastMemory) makeRoom(newest *keptPast) {
	most := cmp.Or(m.most, mostPast)
	if m.total <= most {
		return
	}
	keys := make([]pastKey, 0, len(m.kept))
	for key := range m.kept {
		keys = append(keys, key)
	}
	slices.SortFunc(keys, func(a, b pastKey) int { return cmp.Compare(m.kept[a].asked, m.kept[b].asked) })
	for _, key := range keys {
		if k := m.kept[key]; m.total > most*3/4 && k != newest && k.weight > 0 {
			m.drop(key, k)
		}
	}
}

func (m *PastMemory) drop(key pastKey, k *keptPast) {
	m.total -= k.weight
	delete(m.kept, key)
}

// remembered is pastOf for what this look may see: what a write has not finished is made for it alone.
func remembered[T weighty](l *Look, of foray.ID, compared bool, state string, read func() (T, error)) (T, error) {
	if l.writes {
		return read()
	}
	key := pastKey{society: l.Scope.Society, of: of, compared: compared, names: l.Hall.Knowledge.Names.Revision()}
	return pastOf(l.Hall.Past, key, state, read)
}
