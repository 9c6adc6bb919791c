package closing

import (
	"cmp"
	"slices"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/muster"
	"forayhall/internal/store"
)

// Where is where something missing is mended.
type Where string

const (
	AtTeams   Where = "teams"
	AtPlates  Where = "plates"
	AtRights  Where = "rights"
	AtNumbers Where = "numbers"
	AtList    Where = "list"
	AtHall    Where = "hall" // the closing of the hall itself
	// AtVouchers is the dryers, the packets and what was chosen.
	AtVouchers Where = "vouchers"
)

// Need is one thing that is missing.
type Need struct {
	Text    message.Text
	Where   Where
	Numbers []string // the collections it is about
}

// Lacking is what is missing, as an error carries it.
type Lacking []Need

// Hazards is where the plates are that may be handled only with care.
type Hazards struct {
	Here   []foray.Number // still met in the hall
	Lost   []foray.Number // nobody knows where
	Bagged int            // discarded
	Dried  int            // in the dryer, or in its packet
	Sent   int
}

func hallNeeds(l *hall.Look, e store.Event) ([]Need, Hazards, error) {
	needs, err := teamsOut(l)
	if err != nil {
		return nil, Hazards{}, err
	}
	hazards, err := hazardsOf(l, e)
	if err != nil {
		return nil, Hazards{}, err
	}
	if n := len(hazards.Here); n > 0 {
		needs = append(needs, Need{Text: message.T("closing.needs.hazards", "n", n), Where: AtPlates, Numbers: written(hazards.Here)})
	}
	publishable, err := canPublish(l)
	if err == nil && !publishable {
		needs = append(needs, Need{Text: message.T("closing.needs.list-keeper"), Where: AtRights})
	}
	return needs, hazards, err
}

// teamsOut is a need for each team that somebody waits for. It speaks of team numbers, not of names.
func teamsOut(l *hall.Look) (needs []Need, err error) {
	musters, err := l.Musters()
	if err != nil {
		return nil, err
	}
	for _, m := range musters {
		if !m.Awaited() {
			continue
		}
		key := "closing.needs.team-out"
		switch m.Standing.State {
		case muster.NotOut:
			key = "closing.needs.team-unsaid"
		case muster.Unsettled:
			key = "closing.needs.team-unsettled"
		}
		needs = append(needs, Need{Text: message.T(key, "number", m.Team.Number, "n", m.Standing.People()), Where: AtTeams})
	}
	return needs, nil
}

func hazardsOf(l *hall.Look, e store.Event) (h Hazards, err error) {
	plates, err := l.Plates()
	if err != nil {
		return h, err
	}
	vouchers, err := l.Vouchers()
	for _, p := range plates {
		if !p.BaggedFirst(l.Hall.Knowledge.Hazards.Worst(p.Questions(), e.Region)) {
			continue
		}
		switch p.Whereabouts {
		case foray.Discarded:
			h.Bagged++
		case foray.InDryer:
			h.Dried++
		case foray.SentTo:
			h.Sent++
		case foray.Lost:
			h.Lost = append(h.Lost, p.Number())
		default:
			if vouchers[p.ID].Packed && !p.Whereabouts.Shown() { // dry and closed, it is met by nobody
				h.Dried++
				continue
			}
			h.Here = append(h.Here, p.Number())
		}
	}
	return h, err
}

// canPublish: version 1 is signed, or somebody may sign it.
func canPublish(l *hall.Look) (bool, error) {
	versions, err := l.Tx.Publications(l.Scope.Society, l.Scope.Event)
	if err != nil || len(versions) > 0 {
		return err == nil, err
	}
	rights, err := l.Tx.EventRights(l.Scope.Society, l.Scope.Event)
	return slices.ContainsFunc(rights, func(r store.EventRight) bool { return access.Allows(r.Held, access.PublishList) }), err
}

func eventNeeds(l *hall.Look, e store.Event) (needs []Need, err error) {
	if e.State == hall.EventOpen {
		needs = append(needs, Need{Text: message.T("closing.needs.hall"), Where: AtHall})
	}
	for _, part := range []func(*hall.Look) ([]Need, error){numbersOpen, traysShared, vouchersOpen, listUnsigned} {
		more, err := part(l)
		if err != nil {
			return nil, err
		}
		needs = append(needs, more...)
	}
	return needs, nil
}

// numbersOpen: every number that was handed out is a plate, or somebody said what became of it.
func numbersOpen(l *hall.Look) ([]Need, error) {
	ledger, err := l.Ledger()
	return openRuns(ledger.Entries), err
}

// mostRuns is how many gaps are named; the ledger has them all.
const mostRuns = 8

func openRuns(entries []foray.Entry) []Need {
	var runs []string
	n := 0
	for _, e := range entries {
		if e.Fate != foray.Open {
			continue
		}
		if n += e.Len(); e.Len() > 1 {
			runs = append(runs, e.From.String()+"–"+e.To.String())
		} else {
			runs = append(runs, e.From.String())
		}
	}
	if n == 0 {
		return nil
	}
	if len(runs) > mostRuns {
		runs = append(runs[:mostRuns], "…")
	}
	return []Need{{Text: message.T("closing.needs.numbers", "n", n, "runs", strings.Join(runs, ", ")), Where: AtNumbers}}
}

// traysShared: two plates in one tray are two vouchers that nobody can tell apart.
func traysShared(l *hall.Look) (needs []Need, err error) {
	plates, err := l.Plates()
	if err != nil {
		return nil, err
	}
	in := map[string][]foray.Number{}
	as := map[string]string{}
	for _, p := range plates {
		if p.Whereabouts == foray.InDryer {
			tray := foray.SlotKey(p.Position) // a hyphen tells 1-12 from 11-2
			in[tray], as[tray] = append(in[tray], p.Number()), cmp.Or(as[tray], p.Position)
		}
	}
	trays := make([]string, 0, len(in))
	for tray, there := range in {
		if len(there) > 1 {
			trays = append(trays, tray)
		}
	}
	slices.Sort(trays)
	for _, tray := range trays {
		needs = append(needs, Need{Text: message.T("closing.needs.tray", "tray", as[tray]), Where: AtPlates, Numbers: written(in[tray])})
	}
	return needs, nil
}

// vouchersOpen: what was chosen is packed or dropped, and the dryers are empty.
func vouchersOpen(l *hall.Look) (needs []Need, err error) {
	gaps, err := l.Reconcile()
	if err != nil {
		return nil, err
	}
	of := map[hall.GapKind][]foray.Number{}
	for _, g := range gaps {
		of[g.Kind] = append(of[g.Kind], g.Plate.Number())
	}
	for _, kind := range hall.GapKinds {
		if there := of[kind]; len(there) > 0 && !kind.Closes() {
			needs = append(needs, Need{Text: message.T("closing.needs.vouchers."+string(kind), "n", len(there)), Where: AtVouchers, Numbers: written(there)})
		}
	}
	return needs, nil
}

// listUnsigned: the newest version was signed after all that the list says.
func listUnsigned(l *hall.Look) ([]Need, error) {
	versions, err := l.Tx.Publications(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return nil, err
	}
	if len(versions) == 0 {
		return []Need{{Text: message.T("closing.needs.unsigned"), Where: AtList}}, nil
	}
	last, err := lastSaid(l)
	if err != nil || !last.After(versions[0].SignedAt.Time) {
		return nil, err
	}
	return []Need{{Text: message.T("closing.needs.changed", "version", versions[0].Version), Where: AtList}}, nil
}

func numbers(all []foray.Number) string { return strings.Join(written(all), ", ") }

func written(all []foray.Number) []string {
	out := make([]string, len(all))
	for i, n := range all {
		out[i] = n.String()
	}
	return out
}
