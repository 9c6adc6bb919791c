package vouchers

import (
	"context"
	"slices"
	"strings"
	"time"
	"unicode"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Code is what a plate bears beside its number.
type Code struct {
	Kind   foray.CodeKind `json:"kind"`
	Code   string         `json:"code"`              // own number, accession, tube or sequence accession
	HeldAt string         `json:"held_at,omitempty"` // of an accession the institution's code, of a sequence the repository
	Marker string         `json:"marker,omitempty"`  // of a sequence: ITS, LSU, …
	Dried  bool           `json:"dried,omitempty"`   // tissue of a dry specimen; false: fresh
	Dated  string         `json:"dated,omitempty"`   // ISO date, as exact as it is known
	By     string         `json:"by,omitempty"`      // who took the tissue; empty: whoever writes
}

// NewCode is a code of a plate.
type NewCode struct {
	Number string `json:"number"`
	Code
}

// Coded is the answer.
type Coded struct {
	ID     foray.ID `json:"id"`
	Number string   `json:"number"`
}

// AddCode writes down what a plate bears. Hall number, collector's own number and accession are never mixed.
func AddCode(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in NewCode) (Coded, error) {
	cmd.Type, cmd.Body = "voucher.code.v1", in
	return hall.Do(ctx, h, actor, access.RemovePlates, scope, cmd, func(w *hall.Write) (Coded, error) {
		if err := mayCode(&w.Look, in.Kind); err != nil {
			return Coded{}, err
		}
		plate, err := plateOf(w, in.Number)
		if err != nil {
			return Coded{}, err
		}
		return writeCode(w, plate, in.Code, store.VoucherCode{})
	})
}

// ReplaceCode is a code that was wrong, with what is right; without a code nothing stands in its place.
type ReplaceCode struct {
	ID    foray.ID `json:"id"`
	Words string   `json:"words"` // why
	Code
}

// PutCodeRight replaces a code. The one that was wrong stays to be read.
func PutCodeRight(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in ReplaceCode) (Coded, error) {
	cmd.Type, cmd.Body = "voucher.code-right.v1", in
	return hall.Do(ctx, h, actor, access.RemovePlates, scope, cmd, func(w *hall.Write) (Coded, error) {
		old, err := standing(w, in.ID)
		if err != nil {
			return Coded{}, err
		}
		if in.Kind = old.Kind; mayCode(&w.Look, in.Kind) != nil {
			return Coded{}, mayCode(&w.Look, in.Kind)
		}
		words, err := tidy("words", in.Words)
		if err == nil && words == "" {
			err = fault.Wrong("words", "voucher.why-missing")
		}
		if err != nil {
			return Coded{}, err
		}
		plate, err := w.LockNumbered(old.CollectionID)
		if err != nil {
			return Coded{}, err
		}
		return writeCode(w, plate, in.Code, store.VoucherCode{Replaces: old.ID, Words: words})
	})
}

// standing finds a code of the event that was not replaced.
func standing(w *hall.Write, id foray.ID) (store.VoucherCode, error) {
	codes, err := w.Tx.VoucherCodes(w.Scope.Society, w.Scope.Event, foray.ID{})
	if err != nil {
		return store.VoucherCode{}, err
	}
	for _, c := range hall.CodesStanding(codes) {
		if c.ID == id {
			return c, nil
		}
	}
	return store.VoucherCode{}, fault.Missing()
}

// mayCode: accessions and sequences are for the list keeper, identifiers and the organiser.
func mayCode(l *hall.Look, kind foray.CodeKind) error {
	if MayCode(l.Held, kind) {
		return nil
	}
	return hall.NotAllowed(access.PublishList)
}

// MayCode reports whether the rights cover writing a code of a kind.
func MayCode(held access.Held, kind foray.CodeKind) bool {
	if kind == foray.Accession || kind == foray.Sequence {
		return held.Can(access.PublishList) || held.Can(access.SignOff) || held.Can(access.SetUp)
	}
	return held.Can(access.RemovePlates)
}

func writeCode(w *hall.Write, plate hall.Plate, in Code, row store.VoucherCode) (out Coded, err error) {
	row.SocietyID, row.EventID, row.CollectionID = w.Scope.Society, w.Scope.Event, plate.ID
	row.WrittenBy, row.HappenedAt, row.RecordedAt = w.Actor.Person, w.HappenedStamp(), w.Stamp()
	if err := fillCode(w, &row, in); err != nil {
		return out, err
	}
	if row.Code != "" {
		if err := w.Tx.LockSociety(w.Scope.Society); err != nil {
			return out, err
		}
		if err := ofThisPlate(w, plate, row); err != nil {
			return out, err
		}
		if err := bornOnce(w, plate, row); err != nil {
			return out, err
		}
	}
	if row.ID, err = w.NewID(); err != nil {
		return out, err
	}
	w.Note("voucher."+string(row.Kind), plate.ID, strings.TrimSpace(plate.Number().String()+" "+row.HeldAt+" "+row.Code+" "+row.Words))
	w.Changed("voucher", plate.ID)
	return Coded{ID: row.ID, Number: plate.Number().String()}, w.Tx.AddVoucherCode(row)
}

const (
	longestCode   = 60
	longestHeldAt = 60
	longestMarker = 20
)

// fillCode reads what was typed. What a kind does not have is not kept.
func fillCode(w *hall.Write, row *store.VoucherCode, in Code) (err error) {
	row.Kind, row.Code = in.Kind, strings.Join(strings.Fields(in.Code), " ")
	row.CodeKey = codeKey(row.Code)
	switch {
	case !slices.Contains(foray.CodeKinds, in.Kind):
		return fault.Wrong("kind", "voucher.kind-unknown")
	case row.Code == "" && !row.Replaces.IsZero():
		return nil
	case row.Code == "":
		return fault.Wrong("code", "voucher.code-missing."+string(in.Kind))
	case len(row.Code) > longestCode:
		return fault.Wrong("code", "text.too-long", "most", longestCode)
	}
	if row.Dated, err = dated(in.Dated, w.Now); err != nil {
		return err
	}
	switch in.Kind {
	case foray.OwnNumber:
		return ownForm(row.Code)
	case foray.Accession:
		if row.HeldAt, err = institutionCode(in.HeldAt); err != nil {
			return fault.Wrong("held_at", "voucher.institution-form")
		}
	case foray.Tissue:
		row.Dried, row.TakenBy = in.Dried, w.Actor.Person
		if in.By != "" {
			row.TakenBy, err = w.PersonNamed(in.By)
		}
	case foray.Sequence:
		row.HeldAt, row.Marker = strings.Join(strings.Fields(in.HeldAt), " "), strings.Join(strings.Fields(in.Marker), " ")
		if row.HeldAt == "" || len(row.HeldAt) > longestHeldAt {
			return fault.Wrong("held_at", "voucher.repository-missing", "most", longestHeldAt)
		}
		if row.Marker == "" || len(row.Marker) > longestMarker {
			return fault.Wrong("marker", "voucher.marker-missing", "most", longestMarker)
		}
	}
	return err
}

// ownForm: a collector's number is a surname and a number, or nobody could say whose it is.
func ownForm(code string) error {
	if strings.ContainsFunc(code, unicode.IsLetter) && strings.ContainsFunc(code, unicode.IsDigit) {
		return nil
	}
	return fault.Wrong("code", "voucher.own-form")
}

// codeKey is a code as two are compared: case and blanks say nothing, marks do.
func codeKey(code string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return -1
		}
		return unicode.ToLower(r)
	}, code)
}

// ofThisPlate keeps the kinds of numbers apart: the hall's with the event's code is none of the others, and no two kinds
// on one plate are the same.
func ofThisPlate(w *hall.Write, plate hall.Plate, row store.VoucherCode) error {
	event, err := w.Event()
	if err != nil {
		return err
	}
	if _, err := foray.ParseNumber(row.Code, event.Code); err == nil && strings.HasPrefix(row.CodeKey, strings.ToLower(event.Code)) {
		return fault.Wrong("code", "voucher.is-hall-number", "code", row.Code)
	}
	codes, err := w.Tx.VoucherCodes(w.Scope.Society, w.Scope.Event, plate.ID)
	for _, c := range hall.CodesStanding(codes) {
		switch {
		case err != nil || c.ID == row.Replaces:
		case c.CodeKey == row.CodeKey && c.Kind != row.Kind:
			err = fault.Wrong("code", "voucher.mixed."+string(c.Kind), "code", row.Code)
		case c.Kind == foray.OwnNumber && row.Kind == foray.OwnNumber,
			c.Kind == foray.Accession && row.Kind == foray.Accession && c.HeldAt == row.HeldAt:
			err = fault.Wrong("code", "voucher.has-one", "code", c.Code)
		}
	}
	if err == nil && row.Kind == foray.Accession {
		err = isVoucher(w, plate)
	}
	return err
}

func isVoucher(w *hall.Write, plate hall.Plate) error {
	said, err := w.VoucherSaid(plate.ID)
	if err == nil && !foray.ReplayVoucher(said).Chosen {
		err = fault.New(fault.Refused, "voucher.not-chosen")
	}
	return err
}

// bornOnce: an accession is borne once at its institution, a tube once, a sequence once at its repository, and a
// collector's number once but for the parts of one find.
func bornOnce(w *hall.Write, plate hall.Plate, row store.VoucherCode) error {
	borne, err := w.Tx.CodesBorne(w.Scope.Society, row.Kind, row.CodeKey)
	if err != nil {
		return err
	}
	for _, b := range borne {
		if b.ID == row.Replaces || !strings.EqualFold(b.HeldAt, row.HeldAt) {
			continue
		}
		other, err := w.Tx.CollectionByID(b.SocietyID, b.EventID, b.CollectionID)
		if err != nil {
			return err
		}
		event, err := w.Tx.EventByID(b.SocietyID, b.EventID)
		if err != nil {
			return err
		}
		if row.Kind == foray.OwnNumber && b.EventID == row.EventID && other.NumberBase == plate.NumberBase {
			continue
		}
		return fault.Wrong("code", "voucher.borne."+string(row.Kind), "code", row.Code, "number", event.Code+" "+other.Number().String())
	}
	return nil
}

// dated takes an ISO date to the year, the month or the day, that is not to come.
func dated(written string, now time.Time) (string, error) {
	written = strings.TrimSpace(written)
	if written == "" {
		return "", nil
	}
	for _, form := range []string{"2006", "2006-01", time.DateOnly} {
		if day, err := time.Parse(form, written); err == nil && !day.After(now.AddDate(0, 0, 1)) && day.Year() >= 1800 {
			return written, nil
		}
	}
	return "", fault.Wrong("dated", "voucher.date-form")
}
