package setup

import (
	"context"
	"slices"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// BorrowedChoices is what a society may say of common names that borrow.
var BorrowedChoices = []string{store.BorrowedShown, store.BorrowedLeftOut}

// BorrowedNames is what a society says of common names that borrow the name of a genus.
type BorrowedNames struct {
	Choice string `json:"choice"` // shown, left_out
}

// ChooseBorrowedNames says for the whole society whether common names that borrow are printed. The organiser of any of
// its events may, since a society has no rights of its own; versions that were signed stay as they are.
func ChooseBorrowedNames(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in BorrowedNames) (BorrowedNames, error) {
	cmd.Type, cmd.Body = "society.borrowed-names.v1", in
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (BorrowedNames, error) {
		if !slices.Contains(BorrowedChoices, in.Choice) {
			return BorrowedNames{}, fault.Wrong("choice", "setup.borrowed-choice")
		}
		society, err := w.Tx.SocietyByID(scope.Society)
		if err != nil {
			return BorrowedNames{}, err
		}
		was := BorrowedNames{Choice: society.BorrowedNames}
		_, err = changed(w, "society", society.ID, was, w.Tx.SetBorrowedNames(society.ID, in.Choice))
		return in, err
	})
}
