package hall

import (
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"

	"forayhall/internal/foray"
)

func saying(n int) *said {
	s := &said{species: map[string]bool{}}
	for i := range n {
		s.species[fmt.Sprint("species ", i)] = true
	}
	return s
}

func keyOf(n int) pastKey {
	return pastKey{society: foray.ID{1}, of: foray.ID{byte(n), byte(n >> 8)}, names: "r"}
}

// Would catch a lock that is forgotten, an event that is read by everybody who asks at once, and one that is answered
// from an older state.
func TestThePastIsReadOnceForManyAndAgainAfterAChange(t *testing.T) {
	m := &PastMemory{}
	var reads atomic.Int64
	for state := range 5 {
		var all sync.WaitGroup
		for range 50 {
			all.Go(func() {
				got, err := pastOf(m, keyOf(1), fmt.Sprint(state), func() (*said, error) { reads.Add(1); return saying(state + 1), nil })
				if err != nil || len(got.species) != state+1 {
					t.Errorf("state %d: %v %v", state, got, err)
				}
			})
		}
		all.Wait()
	}
	if reads.Load() != 5 || len(m.kept) != 1 || m.total != 5+8 {
		t.Errorf("%d reads of 5 states, %d kept of weight %d", reads.Load(), len(m.kept), m.total)
	}
}

func TestThePastThatCouldNotBeReadIsReadAgain(t *testing.T) {
	m, broken := &PastMemory{}, errors.New("the disk is gone")
	var all sync.WaitGroup
	for range 20 {
		all.Go(func() {
			if _, err := pastOf(m, keyOf(1), "1", func() (*said, error) { return nil, broken }); !errors.Is(err, broken) {
				t.Errorf("%v", err)
			}
		})
	}
	all.Wait()
	if got, err := pastOf(m, keyOf(1), "1", func() (*said, error) { return saying(3), nil }); err != nil || len(got.species) != 3 {
		t.Errorf("%v %v", got, err)
	}
	var none *PastMemory
	if got, err := pastOf(none, keyOf(1), "1", func() (*said, error) { return saying(2), nil }); err != nil || len(got.species) != 2 {
		t.Errorf("without a memory: %v %v", got, err)
	}
}

func TestThePastThatIsKeptIsBoundedAndWhatIsAskedForStays(t *testing.T) {
	m := &PastMemory{most: 1000}
	reads := map[int]int{}
	ask := func(n int) {
		if _, err := pastOf(m, keyOf(n), "1", func() (*said, error) { reads[n]++; return saying(92), nil }); err != nil {
			t.Fatal(err)
		}
	}
	for n := range 300 {
		ask(n)
		ask(0)
		if m.total > 1000 {
			t.Fatalf("after %d: %d entries are kept", n, m.total)
		}
	}
	if reads[0] != 1 {
		t.Errorf("what is always asked for was read %d times", reads[0])
	}
	weight := 0
	for _, k := range m.kept {
		weight += k.weight
	}
	if weight != m.total {
		t.Errorf("weighs %d, counted as %d", weight, m.total)
	}
}
