package outside

import (
	"context"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/muster"
	"forayhall/internal/store"
)

// Mark is one person's mark.
type Mark struct {
	Member foray.ID        `json:"member"`
	Kind   muster.MarkKind `json:"kind"`
}

// Out is a team that leaves: everybody on the sheet is marked out or not going, and heads were counted.
type Out struct {
	Team  string `json:"team"` // its id or number
	Heads *int   `json:"heads"`
	Marks []Mark `json:"marks"`
}

// Back is a team that is back, or some of it. Heads is how many of it are back now in all, counted.
type Back struct {
	Team  string `json:"team"` // its id or number
	Heads *int   `json:"heads"`
	Marks []Mark `json:"marks,omitempty"`
	All   bool   `json:"all,omitempty"` // whoever was out by name is here; taken only where the heads say so too
}

// Heard is word from the field.
type Heard struct {
	Team    string `json:"team"` // its id or number
	Heads   *int   `json:"heads,omitempty"`
	Remarks string `json:"remarks,omitempty"`
}

// One is what is said of one person: home early, found, not going, or out or back after all.
type One struct {
	Team    string          `json:"team"` // its id or number
	Member  foray.ID        `json:"member"`
	Kind    muster.MarkKind `json:"kind"`
	Remarks string          `json:"remarks,omitempty"`
}

// HandIn is the sheet and the collections coming to the desk.
type HandIn struct {
	Team        string `json:"team"`                  // its id or number
	Collections *int   `json:"collections,omitempty"` // as they were counted
	Remarks     string `json:"remarks,omitempty"`
}

// Act is what the hall did because a team was late.
type Act struct {
	Team    string           `json:"team"` // its id or number
	Act     muster.CountKind `json:"act"`  // rung, told, search, rescue
	Remarks string           `json:"remarks,omitempty"`
}

// GoOut counts a team out.
func GoOut(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Out) (Stood, error) {
	cmd.Type, cmd.Body = "team.out.v1", in
	return onTeam(ctx, h, actor, scope, cmd, in.Team, leaderOnly, func(w *hall.Write, t store.Team) (none foray.ID, err error) {
		if err := counted(in.Heads); err != nil {
			return none, err
		}
		for _, m := range in.Marks {
			if m.Kind != muster.Out && m.Kind != muster.NotGoing {
				return none, fault.Wrong("marks", "team.mark-out")
			}
		}
		if err := addMarks(w, t, in.Marks, ""); err != nil {
			return none, err
		}
		return none, addCount(w, t, muster.CountOut, in.Heads, "")
	})
}

// ComeBack counts a team back. Heads are counted first and names ticked after; a straggler is a mark with a new count.
func ComeBack(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Back) (Stood, error) {
	cmd.Type, cmd.Body = "team.back.v1", in
	return onTeam(ctx, h, actor, scope, cmd, in.Team, hallToo, func(w *hall.Write, t store.Team) (none foray.ID, err error) {
		if err := counted(in.Heads); err != nil {
			return none, err
		}
		marks := in.Marks
		if in.All {
			if marks, err = everybody(w, t, *in.Heads); err != nil {
				return none, err
			}
		}
		for _, m := range marks {
			if m.Kind != muster.Back {
				return none, fault.Wrong("marks", "team.mark-back")
			}
		}
		if err := addMarks(w, t, marks, ""); err != nil {
			return none, err
		}
		return none, addCount(w, t, muster.CountBack, in.Heads, "")
	})
}

// everybody marks back whoever is out by name. A count that differs is somebody missing or somebody without a name:
// then names are ticked one by one.
func everybody(w *hall.Write, t store.Team, heads int) (marks []Mark, err error) {
	m, err := mustered(&w.Look, t.ID)
	if err != nil {
		return nil, err
	}
	on, err := sheetOf(&w.Look, t.ID)
	if err != nil {
		return nil, err
	}
	for _, o := range m.Standing.Out {
		if _, ok := on[o.ID]; ok {
			marks = append(marks, Mark{Member: o.ID, Kind: muster.Back})
		}
	}
	if names := len(m.Standing.Back) + len(m.Standing.Out); names != heads {
		return nil, fault.Wrong("heads", "team.not-all", "heads", heads, "names", names)
	}
	return marks, nil
}

// HearFrom says that somebody heard from a team.
func HearFrom(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Heard) (Stood, error) {
	cmd.Type, cmd.Body = "team.heard.v1", in
	return onTeam(ctx, h, actor, scope, cmd, in.Team, hallToo, func(w *hall.Write, t store.Team) (none foray.ID, err error) {
		if in.Heads != nil {
			if err := counted(in.Heads); err != nil {
				return none, err
			}
		}
		return none, addCount(w, t, muster.Heard, in.Heads, in.Remarks)
	})
}

// MarkOne says something of one person.
func MarkOne(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in One) (Stood, error) {
	cmd.Type, cmd.Body = "team.mark.v1", in
	return onTeam(ctx, h, actor, scope, cmd, in.Team, hallToo, func(w *hall.Write, t store.Team) (foray.ID, error) {
		return in.Member, addMarks(w, t, []Mark{{in.Member, in.Kind}}, in.Remarks)
	})
}

// TakeIn says that a team handed in its sheet and what it found.
func TakeIn(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in HandIn) (Stood, error) {
	cmd.Type, cmd.Body = "team.hand-in.v1", in
	return onTeam(ctx, h, actor, scope, cmd, in.Team, hallToo, func(w *hall.Write, t store.Team) (none foray.ID, err error) {
		if n := in.Collections; n != nil && (*n < 0 || *n > foray.MaxNumber) {
			return none, fault.Wrong("collections", "team.collections", "most", foray.MaxNumber)
		}
		return none, addCount(w, t, muster.HandIn, in.Collections, in.Remarks)
	})
}

// ActFor says what the hall did about a team that is late.
func ActFor(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Act) (Stood, error) {
	cmd.Type, cmd.Body = "team.act.v1", in
	return hallActs(ctx, h, actor, scope, cmd, in.Team, func(w *hall.Write, t store.Team) (none foray.ID, err error) {
		switch in.Act {
		case muster.Rung, muster.Told, muster.Searched, muster.Rescue:
			return none, addCount(w, t, in.Act, nil, in.Remarks)
		}
		return none, fault.Wrong("act", "team.act-unknown")
	})
}

// hallActs is onTeam for what the hall does and no leader in the field.
func hallActs(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, team string,
	fn func(*hall.Write, store.Team) (foray.ID, error)) (Stood, error) {
	return onTeam(ctx, h, actor, scope, cmd, team, hallToo, func(w *hall.Write, t store.Team) (foray.ID, error) {
		if err := w.May(access.SignAnyoneIn); err != nil {
			return foray.ID{}, err
		}
		return fn(w, t)
	})
}

func counted(heads *int) error {
	if heads == nil || *heads < 0 || *heads > mostHeads {
		return fault.Wrong("heads", "team.heads", "most", mostHeads)
	}
	return nil
}

// addMarks adds marks for people who are on the sheet, each once.
func addMarks(w *hall.Write, t store.Team, marks []Mark, remarks string) error {
	return addMarksAt(w, t, marks, w.HappenedStamp(), remarks)
}

func addMarksAt(w *hall.Write, t store.Team, marks []Mark, at store.Stamp, remarks string) error {
	on, err := sheetOf(&w.Look, t.ID)
	if err != nil {
		return err
	}
	if len(remarks) > mostWords {
		return fault.Wrong("remarks", "text.too-long", "most", mostWords)
	}
	rows, once := make([]store.HeadMark, 0, len(marks)), map[foray.ID]bool{}
	for _, m := range marks {
		_, listed := on[m.Member]
		switch {
		case !listed || once[m.Member]:
			return fault.Wrong("marks", "team.not-on-sheet", "team", t.Number)
		case !m.Kind.Known():
			return fault.Wrong("kind", "team.mark-unknown")
		}
		once[m.Member] = true
		row := store.HeadMark{SocietyID: t.SocietyID, EventID: t.EventID, TeamID: t.ID, MemberID: m.Member, Kind: string(m.Kind),
			MarkedBy: w.Actor.Person, HappenedAt: at, RecordedAt: w.Stamp(), Remarks: tidy(remarks)}
		if row.ID, err = w.NewID(); err != nil {
			return err
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		return nil
	}
	return w.Tx.AddHeadMarks(rows)
}

func addCount(w *hall.Write, t store.Team, kind muster.CountKind, heads *int, remarks string) error {
	return addCountAt(w, t, kind, heads, w.HappenedStamp(), remarks)
}

func addCountAt(w *hall.Write, t store.Team, kind muster.CountKind, heads *int, at store.Stamp, remarks string) error {
	if len(remarks) > mostWords {
		return fault.Wrong("remarks", "text.too-long", "most", mostWords)
	}
	id, err := w.NewID()
	if err != nil {
		return err
	}
	return w.Tx.AddHeadCount(store.HeadCount{SocietyID: t.SocietyID, EventID: t.EventID, ID: id, TeamID: t.ID, Kind: string(kind), Heads: heads,
		CountedBy: w.Actor.Person, HappenedAt: at, RecordedAt: w.Stamp(), Remarks: tidy(remarks)})
}
