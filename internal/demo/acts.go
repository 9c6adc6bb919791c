package demo

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/outside"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
	"forayhall/internal/muster"
)

// act is something that goes through a use case of its own, by whoever does it.
type act func(ctx context.Context, b *book, by string) error

// do is one command by a person.
func do[In, Out any](ctx context.Context, p *player, by string, scope access.Scope, in In,
	use func(context.Context, *hall.Hall, access.Actor, access.Scope, hall.Command, In) (Out, error)) (Out, error) {
	cmd, err := p.command()
	if err != nil {
		var none Out
		return none, err
	}
	return use(ctx, p.hall, p.actor(by), scope, cmd, in)
}

// using is an act of one command.
func using[In, Out any](in In, use func(context.Context, *hall.Hall, access.Actor, access.Scope, hall.Command, In) (Out, error)) act {
	return func(ctx context.Context, b *book, by string) error {
		_, err := do(ctx, b.p, by, b.Scope, in, use)
		return err
	}
}

// member is a line of a team's sheet; guardian and driver are keys of other lines.
type member struct {
	team, key, person string
	guardian, driver  string
	about             outside.About
	out               bool // comes when the others are about to leave
	private           outside.Private
}

// joins puts somebody on a sheet, with what must be known of them if things go wrong.
func (m member) joins(ctx context.Context, b *book, by string) error {
	in := outside.Join{Team: m.team, Person: b.p.person[m.person], About: m.about, Out: m.out}
	var err error
	if in.Guardian, err = b.onSheet(m.guardian); err != nil {
		return err
	}
	if in.Driver, err = b.onSheet(m.driver); err != nil {
		return err
	}
	stood, err := do(ctx, b.p, by, b.Scope, in, outside.AddMember)
	if err != nil {
		return err
	}
	b.members[m.key], b.sheets[m.team] = stood.Member, append(b.sheets[m.team], m.key)
	return m.tells(ctx, b, by)
}

// tells writes down what must be known of a member, where something is.
func (m member) tells(ctx context.Context, b *book, by string) error {
	if m.private == (outside.Private{}) {
		return nil
	}
	m.private.ID = b.members[m.key]
	return using(m.private, outside.SetPrivate)(ctx, b, by)
}

// onSheet finds a member by key; no key is nobody.
func (b *book) onSheet(key string) (foray.ID, error) {
	id, ok := b.members[key]
	if key != "" && !ok {
		return id, fmt.Errorf("no sheet has %q: %w", key, fault.Missing())
	}
	return id, nil
}

// heads is a line of a team's day: people counted, somebody marked, or word from the field.
type heads struct {
	team, what string
	heads      *int
	who        []string // keys: of those back, of those who stay behind, or the one who is marked
	remarks    string
}

// counted writes a line of a team's day as the use case that it is.
func (h heads) counted(ctx context.Context, b *book, by string) error {
	switch h.what {
	case "out", "back":
		return h.passing(ctx, b, by)
	case "heard":
		return using(outside.Heard{Team: h.team, Heads: h.heads, Remarks: h.remarks}, outside.HearFrom)(ctx, b, by)
	case "hand_in":
		return using(outside.HandIn{Team: h.team, Collections: h.heads, Remarks: h.remarks}, outside.TakeIn)(ctx, b, by)
	}
	for _, key := range h.who {
		id, err := b.onSheet(key)
		if err != nil {
			return err
		}
		one := outside.One{Team: h.team, Member: id, Kind: muster.MarkKind(h.what), Remarks: h.remarks}
		if err := using(one, outside.MarkOne)(ctx, b, by); err != nil {
			return err
		}
	}
	return nil
}

// passing counts a team out, all but those named; or back, those named, or where nobody is named everybody.
func (h heads) passing(ctx context.Context, b *book, by string) error {
	named := map[string]bool{}
	for _, key := range h.who {
		named[key] = true
	}
	var marks []outside.Mark
	for _, key := range b.sheets[h.team] {
		kind := muster.Back
		switch {
		case h.what == "out" && named[key]:
			kind = muster.NotGoing
		case h.what == "out":
			kind = muster.Out
		case !named[key]:
			continue
		}
		marks = append(marks, outside.Mark{Member: b.members[key], Kind: kind})
	}
	if h.what == "out" {
		return using(outside.Out{Team: h.team, Heads: h.heads, Marks: marks}, outside.GoOut)(ctx, b, by)
	}
	return using(outside.Back{Team: h.team, Heads: h.heads, Marks: marks, All: len(marks) == 0}, outside.ComeBack)(ctx, b, by)
}

// splits makes parts of a mixed collection.
func splits(written string, in desk.Split) act {
	return func(ctx context.Context, b *book, by string) error {
		n, whole, err := b.plateOf(written)
		if err != nil {
			return err
		}
		in.Collection = whole.ID
		parts, err := do(ctx, b.p, by, b.Scope, in, desk.SplitCollection)
		if err != nil {
			return err
		}
		delete(b.plates, n)
		for _, part := range parts.Parts {
			b.stale = append(b.stale, part.Number)
		}
		return nil
	}
}

// merges puts a plate together with the one that is the same find.
func merges(written string, in desk.Merge) act {
	return func(ctx context.Context, b *book, by string) error {
		n, from, err := b.plateOf(written)
		if err != nil {
			return err
		}
		in.Collection = from.ID
		merged, err := do(ctx, b.p, by, b.Scope, in, desk.MergeCollection)
		if err != nil {
			return err
		}
		delete(b.plates, n)
		b.stale = append(b.stale, merged.Into)
		return nil
	}
}

func (b *book) plateOf(written string) (foray.Number, *plate, error) {
	n, err := foray.ParseNumber(written, b.event.Code)
	if err != nil {
		return n, nil, err
	}
	p, ok := b.plates[n]
	if !ok {
		return n, nil, fault.Missing()
	}
	return n, p, nil
}

// groups says what somebody determines here.
func groups(whose, keys string) act {
	return func(ctx context.Context, b *book, by string) error {
		in := bench.Groups{Person: b.p.person[whose], Groups: strings.Split(keys, ";")}
		return using(in, bench.SayGroups)(ctx, b, by)
	}
}

// wishes names walks by their numbers, the first choice first.
func wishes(numbers, with string) act {
	return func(ctx context.Context, b *book, by string) error {
		in := outside.Wishes{With: with}
		for number := range strings.SplitSeq(numbers, ";") {
			in.Walks = append(in.Walks, b.p.walks[number])
		}
		return using(in, outside.Wish)(ctx, b, by)
	}
}

// papers makes cards for every plate on a table that has no right one, swaps those for which a right one was made, or
// hangs the warning sheet as it is at that minute.
func papers(what string) act {
	return func(ctx context.Context, b *book, by string) error {
		if what == "cards" {
			return using(tables.Cards{}, tables.MakeCards)(ctx, b, by)
		}
		seen, err := tables.SeePapers(ctx, b.p.hall, b.p.actor(by), b.Scope)
		if err != nil {
			return err
		}
		switch what {
		case "sheet":
			return using(tables.Hang{Digest: seen.Sheet}, tables.HangSheet)(ctx, b, by)
		case "swap":
			return swap(ctx, b, by, seen.Jobs)
		}
		return fmt.Errorf("%q is done with no paper", what)
	}
}

func swap(ctx context.Context, b *book, by string, jobs []tables.Job) error {
	for _, job := range jobs {
		if !job.Ready {
			continue
		}
		if _, err := do(ctx, b.p, by, b.Scope, tables.Swap{Paper: job.Paper}, tables.SwapPaper); err != nil {
			return err
		}
	}
	return nil
}

// walk is a walk whose leader is a key.
type walk struct {
	setup.Walk
	leader string
}

func (w walk) laid(ctx context.Context, p *player, scope access.Scope) error {
	w.Leader = p.story.named(w.leader)
	made, err := do(ctx, p, organiser, scope, w.Walk, setup.AddWalk)
	p.walks[strconv.Itoa(w.Number)] = made.ID
	return err
}
