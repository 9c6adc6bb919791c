package hall

import (
	"bytes"
	"cmp"
	"slices"
	"sync"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/store"
)

// PlateMemory keeps the plates of the events that were looked at last, each as of one change of its event. A read takes
// from the database only what the change log names since, in the snapshot that it sees. The zero value is ready; a nil
// one remembers nothing.
type PlateMemory struct {
	mu     sync.Mutex
	events map[access.Scope]*keptPlates
}

// keptPlates is one event's; its lock is held while it is read anew, so that many who ask at once make one read.
type keptPlates struct {
	mu     sync.Mutex
	last   store.Change // zero: of an event in which nothing ever changed, which is not kept
	all    numbered     // never written to again, only replaced
	filled time.Time    // when all of it was read
	asked  time.Time    // under the memory's lock
}

// numbered is everything that bears a number, by number, and what of it is a plate still.
type numbered struct{ all, plates []Plate }

func numberedOf(all []Plate) numbered {
	dead := func(p Plate) bool { return p.Fate != store.Live }
	if !slices.ContainsFunc(all, dead) {
		return numbered{all, all}
	}
	return numbered{all, slices.DeleteFunc(slices.Clone(all), dead)}
}

// Passing is a look at another event of the same society and snapshot, for who goes over many of them.
func (l *Look) Passing(event foray.ID) *Look {
	at := *l
	at.Scope.Event, at.passing = event, true
	return &at
}

const (
	mostEvents  = 24               // whose plates are kept
	mostPlates  = 64               // that are read one by one; where more changed, all are read
	mostChanges = 512              // that are looked through
	keptFor     = 10 * time.Minute // then all is read again, whatever the log says
)

// of gives the place for an event, and lets go of the one that nobody asked for longest; nil where it is not kept and is
// not to be.
func (m *PlateMemory) of(scope access.Scope, keep bool) *keptPlates {
	m.mu.Lock()
	defer m.mu.Unlock()
	k := m.events[scope]
	if k == nil && !keep {
		return nil
	}
	if k == nil {
		if m.events == nil {
			m.events = map[access.Scope]*keptPlates{}
		}
		k = &keptPlates{}
		m.events[scope] = k
	}
	k.asked = time.Now()
	if len(m.events) > mostEvents {
		m.forgetOldest()
	}
	return k
}

func (m *PlateMemory) forgetOldest() {
	var oldest access.Scope
	for scope, k := range m.events {
		if first := m.events[oldest]; first == nil || k.asked.Before(first.asked) {
			oldest = scope
		}
	}
	delete(m.events, oldest)
}

// numbered is Look.numbered from memory. Nobody writes to what it gives: others read it at the same time.
func (m *PlateMemory) numbered(l *Look) (numbered, error) {
	last, ok, err := l.Tx.LastChange(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return numbered{}, err
	}
	k := m.of(l.Scope, !l.passing)
	if k == nil {
		return l.readNumbered()
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	switch {
	case !ok || last.Seq < k.last.Seq: // what this snapshot sees is older than what is kept
		return l.readNumbered()
	case time.Since(k.filled) > keptFor:
		return k.fill(l, last)
	case sameChange(last, k.last):
		return k.all, nil
	}
	ids, ok, err := k.changed(l)
	if err != nil {
		return numbered{}, err
	}
	if !ok {
		return k.fill(l, last)
	}
	return k.refresh(l, last, ids)
}

func (k *keptPlates) fill(l *Look, last store.Change) (numbered, error) {
	all, err := l.readNumbered()
	if err != nil {
		return numbered{}, err
	}
	k.last, k.all, k.filled = last, all, time.Now()
	return all, nil
}

// changed is the plates that the log names since the kept change; ok is false where that change is not in the log any
// more, where there is too much to look through, or where something else happened that may concern every plate.
func (k *keptPlates) changed(l *Look) (ids []foray.ID, ok bool, err error) {
	if k.last.Seq == 0 {
		return nil, false, nil
	}
	rows, err := l.Tx.ChangesSince(l.Scope.Society, l.Scope.Event, k.last.Seq-1, mostChanges)
	if err != nil || len(rows) == 0 || len(rows) == mostChanges || !sameChange(rows[0], k.last) {
		return nil, false, err
	}
	for _, c := range rows[1:] {
		switch c.Kind {
		case "personal":
			return nil, false, nil
		case "collection":
			ids = append(ids, c.Subject)
		}
	}
	slices.SortFunc(ids, func(a, b foray.ID) int { return bytes.Compare(a[:], b[:]) })
	ids = slices.Compact(ids)
	return ids, len(ids) <= mostPlates, nil
}

// refresh reads some plates anew into a copy of what is kept.
func (k *keptPlates) refresh(l *Look, last store.Change, ids []foray.ID) (numbered, error) {
	if len(ids) == 0 {
		k.last = last
		return k.all, nil
	}
	plates := make([]Plate, len(k.all.all), len(k.all.all)+len(ids))
	copy(plates, k.all.all)
	at := make(map[foray.ID]int, len(ids))
	for i := range plates {
		if slices.Contains(ids, plates[i].ID) {
			at[plates[i].ID] = i
		}
	}
	for _, id := range ids {
		c, err := l.Tx.CollectionByID(l.Scope.Society, l.Scope.Event, id)
		if err != nil {
			return numbered{}, err
		}
		p, err := l.withSlips(c)
		if err != nil {
			return numbered{}, err
		}
		if i, known := at[id]; known {
			plates[i] = p.clipped()
		} else {
			plates = append(plates, p.clipped())
		}
	}
	slices.SortFunc(plates, byNumber)
	k.last, k.all = last, numberedOf(plates)
	return k.all, nil
}

func sameChange(a, b store.Change) bool {
	return a.Seq == b.Seq && a.Kind == b.Kind && a.Subject == b.Subject && a.RecordedAt.Equal(b.RecordedAt.Time)
}

func byNumber(a, b Plate) int {
	return cmp.Or(cmp.Compare(a.NumberBase, b.NumberBase), cmp.Compare(a.NumberSuffix, b.NumberSuffix))
}

// clipped lets nobody who adds to what a plate holds write into what others hold.
func (p Plate) clipped() Plate {
	p.Slips = slices.Clip(p.Slips)
	p.Standing.Question, p.Standing.Sides, p.Standing.Words = slices.Clip(p.Standing.Question), slices.Clip(p.Standing.Sides), slices.Clip(p.Standing.Words)
	return p
}
