package live

import (
	"context"
	"math"
	"slices"
	"sync"
	"time"
)

// Entry is one change as a stream's reader is told of it.
type Entry struct {
	Seq  int64
	Data []byte // one line of JSON
}

// Stretch is a part of an event's change log.
type Stretch struct {
	Entries []Entry // in order, without gaps
	Last    int64   // the number of the event's latest change
}

// Read reads the log after a number, at most so many entries.
type Read func(ctx context.Context, after int64, most int) (Stretch, error)

const (
	// tailMost is how many entries are kept: whoever is further behind reads the log itself.
	tailMost = 500
	// readWithin is how long the log may take to answer.
	readWithin = 10 * time.Second
	// failedFor is how long a failure is everybody's, so that two thousand readers do not wait for it one by one.
	failedFor = time.Second
)

// tail is the end of an event's log, read once for all who look at it: a change that wakes two thousand readers is
// one question to the database, not two thousand.
type tail struct {
	mu      sync.Mutex
	known   bool
	first   int64 // entries begin after it
	last    int64 // and end with it
	entries []Entry
	wakes   uint64 // those that the last reading came after
	at      time.Time
	err     error
}

// shared reads through the room's tail. What was read before the latest wake-up, or longer ago than fresh, is read
// again first.
func (l *Listener) shared(read Read, fresh time.Duration) Read {
	return func(ctx context.Context, after int64, most int) (Stretch, error) {
		got, ok, err := l.room.tail.since(ctx, l.room.wakes.Load(), after, most, fresh, read)
		if err != nil || ok {
			return got, err
		}
		return read(ctx, after, most)
	}
}

// since is ok where the tail reaches back far enough.
func (t *tail) since(ctx context.Context, wakes uint64, after int64, most int, fresh time.Duration, read Read) (Stretch, bool, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.err != nil && time.Since(t.at) < failedFor {
		return Stretch{}, false, t.err
	}
	// A reader that knows more than the tail has it from a page that was made after the last reading.
	if !t.known || t.err != nil || t.wakes < wakes || t.last < after || time.Since(t.at) >= fresh {
		if err := t.refresh(ctx, wakes, read); err != nil {
			return Stretch{}, false, err
		}
	}
	if after < t.first {
		return Stretch{}, false, nil
	}
	from, _ := slices.BinarySearchFunc(t.entries, after+1, func(e Entry, seq int64) int { return int(e.Seq - seq) })
	return Stretch{t.entries[from:min(from+most, len(t.entries))], t.last}, true, nil
}

// refresh reads on. It does not end with the one reader who happens to do it for all.
func (t *tail) refresh(ctx context.Context, wakes uint64, read Read) error {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), readWithin)
	defer cancel()
	t.err = t.readOn(ctx, read)
	t.at = time.Now()
	if t.err == nil {
		t.known, t.wakes = true, wakes
	}
	return t.err
}

func (t *tail) readOn(ctx context.Context, read Read) error {
	for {
		after := t.last
		if !t.known {
			after = math.MaxInt64
		}
		got, err := read(ctx, after, tailMost)
		if err != nil {
			return err
		}
		if !t.known || got.Last < t.last {
			// The beginning; or the log was restored and is shorter than it was.
			t.first, t.last, t.entries = got.Last, got.Last, nil
			return nil
		}
		t.add(got.Entries)
		if t.last >= got.Last || len(got.Entries) == 0 {
			return nil
		}
	}
}

// add makes a new list: readers may still hold the old one.
func (t *tail) add(more []Entry) {
	if len(more) == 0 {
		return
	}
	all := slices.Concat(t.entries, more)
	if over := len(all) - tailMost; over > 0 {
		t.first = all[over-1].Seq
		all = all[over:]
	}
	t.entries, t.last = all, all[len(all)-1].Seq
}
