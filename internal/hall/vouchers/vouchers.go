// Package vouchers keeps what the names of an event can be checked by when the hall is empty: which plates are dried,
// where each lies in the dryer, its packet, where it went and what came back. Nothing said is ever written over: a
// word that was wrong is followed by another, a code that was wrong is replaced by a row that names it.
package vouchers

import (
	"context"
	"strconv"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

const (
	mostWords  = 500
	mostAtOnce = 60 // numbers a command: a dryer's trays, or a box of packets
)

// Choose is a plate that is to be kept, and why.
type Choose struct {
	Number      string              `json:"number"`
	Reason      foray.VoucherReason `json:"reason"`
	Fruitbodies *int                `json:"fruitbodies,omitempty"` // kept; 2 to 5 of different ages are usual
	Tissue      bool                `json:"tissue,omitempty"`      // for a sequence is wanted
	Words       string              `json:"words,omitempty"`
}

// Said is the answer: the numbers of which something was said.
type Said struct {
	Numbers []string `json:"numbers"`
}

// ChooseVoucher keeps a plate as a voucher. What the law keeps out of the dryer is not kept unless a permit names it.
// Said again it puts right why, or how many.
func ChooseVoucher(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Choose) (Said, error) {
	cmd.Type, cmd.Body = "voucher.choose.v1", in
	return hall.Do(ctx, h, actor, access.RemovePlates, scope, cmd, func(w *hall.Write) (Said, error) {
		words, err := tidy("words", in.Words)
		if err != nil {
			return Said{}, err
		}
		plate, err := plateOf(w, in.Number)
		if err != nil {
			return Said{}, err
		}
		said := foray.VoucherSaid{Act: foray.VoucherChosen, Reason: in.Reason, Kept: in.Fruitbodies, Tissue: in.Tissue, Words: words}
		return one(plate), choose(w, plate, said)
	})
}

func choose(w *hall.Write, plate hall.Plate, said foray.VoucherSaid) error {
	if err := w.PermitFlagged(plate, foray.InDryer); err != nil {
		return err
	}
	return w.SayVoucher(plate.Collection, said)
}

// Word is one word said of one voucher, with why.
type Word struct {
	Number string `json:"number"`
	Words  string `json:"words"`
}

// DropVoucher keeps a plate no longer. One that an institution keeps stays a voucher.
func DropVoucher(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Word) (Said, error) {
	cmd.Type, cmd.Body = "voucher.drop.v1", in
	return sayOne(ctx, h, actor, scope, cmd, in, foray.VoucherDropped)
}

// UnpackVoucher takes back that a voucher was packed.
func UnpackVoucher(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Word) (Said, error) {
	cmd.Type, cmd.Body = "voucher.unpack.v1", in
	return sayOne(ctx, h, actor, scope, cmd, in, foray.VoucherUnpacked)
}

func sayOne(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Word, act foray.VoucherAct) (Said, error) {
	return hall.Do(ctx, h, actor, access.RemovePlates, scope, cmd, func(w *hall.Write) (Said, error) {
		words, err := tidy("words", in.Words)
		if err != nil {
			return Said{}, err
		}
		plate, err := plateOf(w, in.Number)
		if err != nil {
			return Said{}, err
		}
		if act == foray.VoucherDropped {
			if err := notElsewhere(w, plate); err != nil {
				return Said{}, err
			}
		}
		return one(plate), w.SayVoucher(plate.Collection, foray.VoucherSaid{Act: act, Words: words})
	})
}

// notElsewhere refuses to drop what an institution keeps under its own number.
func notElsewhere(w *hall.Write, plate hall.Plate) error {
	codes, err := w.Tx.VoucherCodes(w.Scope.Society, w.Scope.Event, plate.ID)
	for _, c := range hall.CodesStanding(codes) {
		if err == nil && c.Kind == foray.Accession {
			err = fault.New(fault.Refused, "voucher.is-kept-at", "institution", c.HeldAt, "code", c.Code)
		}
	}
	return err
}

func one(p hall.Plate) Said { return Said{Numbers: []string{p.Number().String()}} }

// plateOf finds a plate by its label and keeps others from writing to it.
func plateOf(w *hall.Write, written string) (hall.Plate, error) {
	if strings.TrimSpace(written) == "" {
		return hall.Plate{}, fault.Wrong("number", "voucher.no-number")
	}
	c, err := w.CollectionWritten(written)
	if fault.Is(err, fault.NotFound) {
		return hall.Plate{}, fault.Wrong("number", "place.not-logged", "number", strings.TrimSpace(written))
	}
	if err != nil {
		return hall.Plate{}, err
	}
	if c.Fate != store.Live {
		return hall.Plate{}, fault.New(fault.Refused, "place.no-plate", "number", c.Number().String())
	}
	return w.LockPlate(c.ID)
}

// each does something to several plates: to all of them, or none. What is wrong with any is said of all at once.
func each(w *hall.Write, numbers []string, do func(i int, p hall.Plate) error) (Said, error) {
	if len(numbers) == 0 || len(numbers) > mostAtOnce {
		return Said{}, fault.Wrong("numbers", "place.how-many", "most", mostAtOnce)
	}
	done, wrong, seen := Said{Numbers: []string{}}, map[string]message.Text{}, map[foray.ID]bool{}
	for i, written := range numbers {
		plate, err := plateOf(w, written)
		if err == nil && seen[plate.ID] {
			err = fault.Wrong("number", "place.twice", "number", plate.Number().String())
		}
		if err == nil {
			seen[plate.ID] = true
			err = do(i, plate)
		}
		if err == nil {
			done.Numbers = append(done.Numbers, plate.Number().String())
			continue
		}
		said := fault.From(err)
		if said.Kind != fault.Invalid && said.Kind != fault.Refused {
			return Said{}, err
		}
		name := plate.Number().String()
		if plate.ID.IsZero() {
			name = strings.TrimSpace(written)
		}
		wrong["numbers."+strconv.Itoa(i)] = message.T("place.not-this", "number", name, "why", why(said))
	}
	if len(wrong) > 0 {
		return Said{}, fault.Many(wrong)
	}
	return done, nil
}

func why(e *fault.Error) message.Text {
	for _, text := range e.Fields {
		return text
	}
	return e.Text
}

func tidy(field, words string) (string, error) {
	words = strings.Join(strings.Fields(words), " ")
	if len(words) > mostWords {
		return "", fault.Wrong(field, "text.too-long", "most", mostWords)
	}
	return words, nil
}
