// Package wall is what hangs above the tables: how far the day has come, what spoils, which teams are out and what
// must not be touched. It is read from five metres and by everybody, so that it shows numbers and never a person.
package wall

import (
	"cmp"
	"context"
	"slices"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/muster"
	"forayhall/internal/store"
)

// Wall is one look at the hall.
type Wall struct {
	Event    store.Event
	Now      time.Time
	Seq      int64
	States   map[string]int // plates by state, a dispute being a state of its own
	Waiting  int            // plates that nobody has confirmed and that can still be named
	OnTables int
	Spoiling []Spoiling
	Teams    []Team
	Warnings []Warning
	More     int           // dangerous taxa that find no room: the sheet has them
	Wide     []string      // named too widely to rule a dangerous one out
	Nameless int           // plates without a name: treated as poisonous
	Contact  bool          // a poison contact was typed in and rung
	Again    time.Duration // after which the clock alone makes teams late; 0: never
}

// Spoiling is a plate that will soon be past naming.
type Spoiling struct {
	Number foray.Number
	Group  string
	At     time.Time
}

// Team is a team by its number.
type Team struct {
	Number int
	State  muster.State
	Out    int // people who are not back
	Due    *time.Time
	Alert  muster.Alert
	Told   []muster.Finding // those whose text names nobody
}

// nameless are the findings that may hang in the hall.
var nameless = []muster.FindingKind{muster.FewerOut, muster.MoreOut, muster.FewerBack, muster.MoreBack, muster.Uncounted, muster.Unmarked,
	muster.OffSheet, muster.NotSignedOut, muster.NoDueTime, muster.DueLate, muster.NotHeard}

// told keeps the findings that name nobody, those of the hour first.
func told(a muster.Alert, s muster.Standing) (all []muster.Finding) {
	for _, f := range slices.Concat(a.Findings, s.Findings) {
		if slices.Contains(nameless, f.Kind) {
			all = append(all, f)
		}
	}
	return all
}

// Warning is a dangerous taxon that stands or may stand on tables.
type Warning struct {
	Name     string
	Severity int
	Tables   []string
}

const (
	soon     = 2 * time.Hour // what spoils later than that is no matter of the wall
	mostRows = 8             // more cannot be read from five metres
)

// See shows the wall to the event's staff: it hangs in the hall and not in the street.
func See(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Wall, error) {
	w := Wall{States: map[string]int{}}
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) (err error) {
		if !l.Held.Staff() {
			return hall.NotAllowed(access.NameAny)
		}
		w.Now = l.Now
		if w.Event, err = l.Tx.EventByID(scope.Society, scope.Event); err != nil {
			return err
		}
		if w.Seq, err = l.Tx.ChangeSeq(scope.Society, scope.Event); err != nil {
			return err
		}
		plates, err := l.Plates()
		if err != nil {
			return err
		}
		w.count(h, plates)
		musters, err := l.Musters()
		if err != nil {
			return err
		}
		w.Again = hall.AskAgain(l.Now, musters, hall.Ladder(w.Event))
		for _, m := range musters {
			t := Team{Number: m.Team.Number, State: m.Standing.State, Out: m.Standing.People(), Due: m.Plan.Due,
				Alert: muster.Warnings(l.Now, m.Plan, hall.Ladder(w.Event), m.Standing)}
			t.Told = told(t.Alert, m.Standing)
			w.Teams = append(w.Teams, t)
		}
		sheet, _, err := l.WarningSheet(w.Event)
		w.warn(sheet)
		return err
	})
	return w, err
}

func (w *Wall) count(h *hall.Hall, plates []hall.Plate) {
	for _, p := range plates {
		w.States[p.StateWord()]++
		if p.Whereabouts == foray.OnTable {
			w.OnTables++
		}
		if !p.Waits() {
			continue
		}
		w.Waiting++
		if at := h.SpoilsAt(p); !at.IsZero() && at.Sub(w.Now) < soon {
			w.Spoiling = append(w.Spoiling, Spoiling{Number: p.Number(), Group: p.FormGroup, At: at})
		}
	}
	slices.SortStableFunc(w.Spoiling, func(a, b Spoiling) int { return a.At.Compare(b.At) })
	w.Spoiling = w.Spoiling[:min(len(w.Spoiling), mostRows)]
}

// warn takes from the sheet what must not be touched. Nothing is left out silently.
func (w *Wall) warn(sheet hazard.Sheet) {
	w.Contact, w.Nameless = sheet.Final, len(sheet.Nameless)
	all := warnings(sheet.Here)
	w.More = max(0, len(all)-mostRows)
	w.Warnings = all[:len(all)-w.More]
	for _, line := range sheet.Wide {
		if line.Worst.Severity >= hazard.Dangerous {
			w.Wide = append(w.Wide, line.Name)
		}
	}
}

// warnings lists what is dangerous, the worst first, each taxon once.
func warnings(here []hazard.HereLine) []Warning {
	at := map[string]int{}
	var all []Warning
	for _, line := range here {
		if line.Finding.Severity < hazard.Dangerous {
			continue
		}
		i, ok := at[line.Taxon]
		if !ok {
			i = len(all)
			at[line.Taxon] = i
			all = append(all, Warning{Name: line.Taxon, Severity: line.Finding.Severity})
		}
		for _, p := range line.Plates {
			if p.Table != "" && !slices.Contains(all[i].Tables, p.Table) {
				all[i].Tables = append(all[i].Tables, p.Table)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b Warning) int { return cmp.Compare(b.Severity, a.Severity) })
	return all
}
