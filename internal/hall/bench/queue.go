package bench

import (
	"context"
	"slices"
	"strconv"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// Waiting is one collection of the queue.
type Waiting struct {
	Plate      hall.Plate
	Assessment hazard.Assessment
	SpoilsAt   time.Time
	Since      time.Time
	New        bool // its first name in question was signed at no earlier event of the society
	ToMe       bool // it was passed to whoever looks
}

func (w Waiting) urgency() foray.Urgency {
	return foray.Urgency{SpoilsAt: w.SpoilsAt, Hazard: w.Assessment.Weight, New: w.New, Since: w.Since}
}

// Show is a part of what waits.
type Show string

const (
	ForMe    Show = ""         // of my groups, or passed to me
	ForAny   Show = "all"      // for anybody
	Disputes Show = "disputes" // that I may settle
	MyNames  Show = "mine"     // provisional, with my name first
)

// Shows lists the parts in the order in which a bench offers them.
var Shows = []Show{ForMe, ForAny, Disputes, MyNames}

// Bench is what waits, as one person sees it.
type Bench struct {
	Rows   []Waiting // the part that was asked for, most urgent first
	Groups []string  // of this person; empty: every group
	Counts map[Show]int
	Held   access.Held
	Now    time.Time
}

// Queue is the collections that wait for an identifier, most urgent first. Sent, discarded, dried and lost ones cannot
// be looked at.
func Queue(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, show Show) (Bench, error) {
	b := Bench{Counts: map[Show]int{}}
	err := h.View(ctx, actor, access.NameAny, scope, func(l *hall.Look) error {
		b.Held, b.Now = l.Held, l.Now
		me, err := viewer(l)
		if err != nil {
			return err
		}
		b.Groups = me.Groups
		firsts, err := l.Firsts()
		if err != nil {
			return err
		}
		return eachWaiting(l, func(w Waiting) {
			if !w.Plate.Waits() {
				return
			}
			w.New, w.ToMe = firsts.Has(w.Plate), me.has(w.Plate)
			for _, part := range Shows {
				if !me.sees(w, part, l.Held) {
					continue
				}
				if b.Counts[part]++; part == show {
					b.Rows = append(b.Rows, w)
				}
			}
		})
	})
	return Bench{Rows: InOrder(b.Rows, b.Now), Groups: b.Groups, Counts: b.Counts, Held: b.Held, Now: b.Now}, err
}

// eachWaiting meets every plate of the event with what urgency is reckoned from.
func eachWaiting(l *hall.Look, meet func(Waiting)) error {
	event, err := l.Event()
	if err != nil {
		return err
	}
	plates, err := l.Plates()
	if err != nil {
		return err
	}
	for _, p := range plates {
		meet(Waiting{Plate: p, Assessment: l.Hall.Knowledge.Hazards.Worst(p.Questions(), event.Region),
			SpoilsAt: spoilsAt(l, p), Since: p.HappenedAt.Time})
	}
	return nil
}

// InOrder keeps those that wait for a determiner, most urgent first.
func InOrder(all []Waiting, now time.Time) []Waiting {
	rows := slices.DeleteFunc(slices.Clone(all), func(w Waiting) bool { return !w.Plate.Waits() })
	slices.SortStableFunc(rows, func(a, b Waiting) int { return a.urgency().Compare(b.urgency(), now) })
	return rows
}

// sees reports whether a plate belongs to a part of the queue. What was passed to somebody else waits for them.
func (i Identifier) sees(w Waiting, part Show, held access.Held) bool {
	standing := w.Plate.Standing
	switch part {
	case ForAny:
		return true
	case Disputes:
		return standing.Disputed && held.Can(access.Settle)
	case MyNames:
		return !standing.Disputed && len(standing.Question) > 0 && standing.Question[0].By == i.Person.ID
	}
	passed := w.Plate.Whereabouts == foray.AtBench && w.Plate.WithWhom != ""
	if passed {
		return w.ToMe
	}
	return len(i.Groups) == 0 || slices.Contains(i.Groups, w.Plate.FormGroup)
}

// has reports whether a plate lies at this person's bench.
func (i Identifier) has(p hall.Plate) bool {
	return p.Whereabouts == foray.AtBench && i.Person.Name != "" && taxon.Fold(p.WithWhom) == taxon.Fold(i.Person.Name)
}

// spoilsAt is when a plate is past use by its group's window.
func spoilsAt(l *hall.Look, p hall.Plate) time.Time { return l.Hall.SpoilsAt(p) }

// LastBasis is what a determiner's newest sign-off rests on, so that the next need not say it again.
func LastBasis(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, determiner foray.ID) (basis foray.Basis, err error) {
	err = h.View(ctx, actor, access.NameAny, scope, func(l *hall.Look) error {
		basis, err = l.Tx.LastBasis(scope.Society, scope.Event, determiner)
		return err
	})
	return basis, err
}

// Round is a table with its plates in the order in which somebody walks along it.
type Round struct {
	Table  store.HallTable
	Plates []Waiting
}

// WalkTable lists what stands on a table, by position and then number.
func WalkTable(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, table int) (Round, error) {
	var r Round
	err := h.View(ctx, actor, access.NameAny, scope, func(l *hall.Look) (err error) {
		if r.Table, err = l.TableWritten(strconv.Itoa(table)); err != nil {
			return err
		}
		return eachWaiting(l, func(w Waiting) {
			if w.Plate.Whereabouts == foray.OnTable && w.Plate.TableID == r.Table.ID {
				r.Plates = append(r.Plates, w)
			}
		})
	})
	slices.SortStableFunc(r.Plates, func(a, b Waiting) int { return foray.ComparePositions(a.Plate.Position, b.Plate.Position) })
	return r, err
}
