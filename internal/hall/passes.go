package hall

import (
	"forayhall/internal/access"
	"forayhall/internal/store"
)

// EndPasses ends every pass of the scope's event and signs out whoever came in by one: it is called where the hall
// closes, and where an organiser ends them all. It says how many people that were. The event is locked, as it is where
// somebody comes in: whoever comes in first is met here, and whoever comes later meets passes that ended.
func EndPasses(w *Write) (int, error) {
	if _, err := w.Tx.LockEvent(w.Scope.Society, w.Scope.Event); err != nil {
		return 0, err
	}
	passes, err := w.Tx.HallPasses(w.Scope.Society, w.Scope.Event)
	if err != nil {
		return 0, err
	}
	out := 0
	for _, p := range passes {
		n, err := EndPass(w, p)
		if err != nil {
			return 0, err
		}
		out += n
	}
	return out, nil
}

// EndPass ends one pass and signs out whoever came in by it. One that ended before is left as it is.
func EndPass(w *Write, p HallPass) (int, error) {
	uses, err := w.Tx.UsesOfPass(p)
	if err != nil {
		return 0, err
	}
	out := 0
	for _, u := range uses {
		if !u.EndedAt.IsZero() {
			continue
		}
		if err := EndPassUse(w, p, u); err != nil {
			return 0, err
		}
		out++
	}
	if !p.ClosedAt.IsZero() {
		return out, nil
	}
	w.Note("pass.end", p.ID, p.Held+": "+p.Label)
	w.Changed("pass", p.ID)
	return out, w.Tx.CloseHallPass(p, w.Stamp())
}

// EndPassUse signs somebody out who came in by a pass, and takes the right that it gave. What they were given since, be
// it the same right, is their own and stays.
func EndPassUse(w *Write, p HallPass, u PassUse) error {
	if err := w.Tx.EndPassUse(u, w.Stamp()); err != nil {
		return err
	}
	taken, err := w.Tx.TakePassRight(u, access.Right(p.Held))
	if err != nil {
		return err
	}
	account, err := w.Tx.AccountByID(u.SocietyID, u.AccountID)
	if err != nil {
		return err
	}
	// Somebody who was invited since signs in by a password of their own; only what the pass gave ends.
	if account.PasswordHash == store.NoPassword {
		if err := w.Tx.EndSessions(u.SocietyID, u.AccountID, store.NoSession, w.Now); err != nil {
			return err
		}
	}
	if taken {
		w.Note("right.take", u.PersonID, p.Held)
	}
	w.Changed("right", u.PersonID)
	return nil
}
