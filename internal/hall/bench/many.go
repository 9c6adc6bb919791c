package bench

import (
	"context"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
)

// Many is several plates signed at once: a slip each, by one determiner. Form is the id of the form they were written
// on; each line's command id comes from it and the line, so that a list that is sent again is applied once.
type Many struct {
	Form       foray.ID
	Determiner foray.ID // zero: whoever writes
	Basis      foray.Basis
	Lines      []foray.Line
}

// Outcome is what became of a line.
type Outcome string

const (
	Signed    Outcome = "signed"
	Refused   Outcome = "refused"   // Err says why
	Overtaken Outcome = "overtaken" // First is the slip that came between
)

// Answer is what became of one line.
type Answer struct {
	Line    foray.Line
	Outcome Outcome
	Done    Done
	First   First
	Err     error // also of what was overtaken
}

// MostLines is the longest list that is signed at once.
const MostLines = 100

// SignMany signs line by line; one that is refused keeps no other from being signed. What nobody could have known when
// the form was made counts as not seen: a slip that was added since makes a line overtaken.
func SignMany(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, in Many) ([]Answer, error) {
	switch {
	case in.Form.MadeBy().IsZero():
		return nil, fault.New(fault.Refused, "command.id-missing")
	case len(in.Lines) == 0:
		return nil, fault.Wrong("lines", "bench.no-lines")
	case len(in.Lines) > MostLines:
		return nil, fault.Wrong("lines", "bench.too-many-lines", "most", MostLines)
	}
	word := wordAction(Word{Determiner: in.Determiner}, actor)
	if err := h.View(ctx, actor, word, scope, func(*hall.Look) error { return nil }); err != nil {
		return nil, err
	}
	answers := make([]Answer, len(in.Lines))
	for i, line := range in.Lines {
		done, err := signLine(ctx, h, actor, scope, in, line)
		if failed(err) {
			return nil, err
		}
		answers[i] = answerTo(line, done, err)
	}
	return answers, nil
}

// failed tells what concerns the whole list from what concerns a line.
func failed(err error) bool {
	if err == nil {
		return false
	}
	switch fault.From(err).Kind {
	case fault.Internal, fault.Unavailable, fault.NotSignedIn:
		return true
	}
	return false
}

func answerTo(line foray.Line, done Done, err error) Answer {
	a := Answer{Line: line, Outcome: Signed, Done: done, Err: err}
	if err == nil {
		return a
	}
	a.Outcome = Refused
	if f := fault.From(err); f.Kind == fault.Conflict {
		a.Outcome = Overtaken
		a.First, _ = f.Other.(First)
	}
	return a
}

func signLine(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, in Many, line foray.Line) (Done, error) {
	plate, err := plateOf(ctx, h, actor, scope, line)
	if err != nil {
		return Done{}, err
	}
	seen := foray.VersionAt(plate.Slips, in.Form.MadeBy())
	cmd := hall.Command{ID: in.Form.Derived(in.Determiner.String() + " " + string(in.Basis) + " " + line.Written), Device: "browser", BaseVersion: &seen}
	return SignOff(ctx, h, actor, scope, cmd, Word{Collection: plate.ID, Determiner: in.Determiner,
		Name: hall.NameInput{Text: line.Name}, Basis: in.Basis, Remarks: line.Remarks})
}

func plateOf(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, line foray.Line) (p hall.Plate, err error) {
	err = h.View(ctx, actor, access.NameAny, scope, func(l *hall.Look) error {
		c, err := l.CollectionWritten(line.Number)
		if fault.Is(err, fault.NotFound) {
			return fault.Wrong("number", "bench.number-unknown", "number", line.Number)
		}
		if err != nil {
			return err
		}
		p, err = l.PlateByNumber(c.Number())
		return err
	})
	return p, err
}
