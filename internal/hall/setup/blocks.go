package setup

import (
	"context"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// PadOf is how many slips a pad has (common practice).
const PadOf = 50

// mostBlock is how many numbers one block may have.
const mostBlock = 1000

// Block is a run of pre-printed numbers to be handed out, to a team or to somebody.
type Block struct {
	From    int    `json:"from"`
	To      int    `json:"to"`
	Team    string `json:"team,omitempty"` // its id or number
	Person  string `json:"person,omitempty"`
	Remarks string `json:"remarks,omitempty"`
}

// IssueBlock hands out numbers. One that overlaps another is refused: a number that two people write is no number.
func IssueBlock(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Block) (Made, error) {
	cmd.Type, cmd.Body = "block.issue.v1", in
	return addTo(ctx, h, actor, scope, cmd, "block", func(w *hall.Write, id foray.ID) error {
		event, err := w.Tx.LockEvent(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		if event.State == hall.EventClosed {
			return fault.New(fault.Refused, "event.is-closed")
		}
		b := store.NumberBlock{SocietyID: scope.Society, EventID: scope.Event, ID: id, FromNumber: in.From, ToNumber: in.To,
			IssuedTo: tidy(in.Person), Remarks: strings.TrimSpace(in.Remarks), IssuedBy: w.Actor.Person, IssuedAt: w.HappenedStamp()}
		if b.TeamID, err = teamID(w, in.Team); err != nil {
			return err
		}
		if err := checkBlock(b); err != nil {
			return err
		}
		if err := noOverlap(w, b); err != nil {
			return err
		}
		return w.Tx.AddNumberBlock(b)
	})
}

func checkBlock(b store.NumberBlock) error {
	switch {
	case b.FromNumber < 1 || b.ToNumber < b.FromNumber || b.ToNumber > foray.MaxNumber:
		return fault.Wrong("from", "setup.block-numbers", "most", foray.MaxNumber)
	case b.ToNumber-b.FromNumber >= mostBlock:
		return fault.Wrong("to", "setup.block-size", "most", mostBlock)
	case b.TeamID.IsZero() && b.IssuedTo == "":
		return fault.Wrong("team", "setup.block-to-whom")
	case len(b.IssuedTo) > mostName:
		return fault.Wrong("person", "setup.name-missing")
	case len(b.Remarks) > mostWords:
		return fault.Wrong("remarks", "text.too-long", "most", mostWords)
	}
	return nil
}

func noOverlap(w *hall.Write, b store.NumberBlock) error {
	blocks, err := w.Tx.NumberBlocks(w.Scope.Society, w.Scope.Event)
	if err != nil {
		return err
	}
	teams, err := w.Tx.Teams(w.Scope.Society, w.Scope.Event)
	if err != nil {
		return err
	}
	for _, other := range blocks {
		if b.FromNumber <= other.ToNumber && other.FromNumber <= b.ToNumber {
			return fault.Wrong("from", "setup.block-overlap", "from", foray.Number{Base: other.FromNumber}.String(),
				"to", foray.Number{Base: other.ToNumber}.String(), "whom", BlockHolder(other, teams))
		}
	}
	return nil
}

// BlockHolder says who has a block.
func BlockHolder(b store.NumberBlock, teams []store.Team) message.Text {
	for _, t := range teams {
		if t.ID == b.TeamID {
			return message.T("setup.block-team", "number", t.Number)
		}
	}
	return message.T("setup.block-person", "name", b.IssuedTo)
}

// nextBlock is the pad that is most likely taken next: after every number that was issued or used, from where a pad
// begins.
func nextBlock(blocks []store.NumberBlock, highestUsed int) (from, to int) {
	last := highestUsed
	for _, b := range blocks {
		last = max(last, b.ToNumber)
	}
	from = (last+PadOf-1)/PadOf*PadOf + 1
	return from, min(from+PadOf-1, foray.MaxNumber)
}
