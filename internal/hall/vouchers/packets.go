package vouchers

import (
	"context"
	"regexp"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
)

// Pack is vouchers that lie in their packets.
type Pack struct {
	Numbers []string `json:"numbers"`
	Words   string   `json:"words,omitempty"` // the box, where one is said
}

// PackVouchers says that vouchers are in their packets: all of them, or none. What is in its packet is on no table.
func PackVouchers(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Pack) (Said, error) {
	cmd.Type, cmd.Body = "voucher.pack.v1", in
	return sayAll(ctx, h, actor, scope, cmd, in.Numbers, foray.VoucherSaid{Act: foray.VoucherPacked, Words: in.Words}, func(w *hall.Write, plate hall.Plate) error {
		if !plate.Whereabouts.Shown() {
			return nil
		}
		return stand(w, plate, foray.Placement{Where: foray.AtDesk})
	})
}

// Freeze is packets that go into the freezer against insects, or come out. About two weeks are usual (common practice).
type Freeze struct {
	Numbers []string `json:"numbers"`
	Out     bool     `json:"out,omitempty"`
}

// FreezeVouchers says that packets went into the freezer or came out.
func FreezeVouchers(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Freeze) (Said, error) {
	cmd.Type, cmd.Body = "voucher.freeze.v1", in
	act := foray.FreezerIn
	if in.Out {
		act = foray.FreezerOut
	}
	return sayAll(ctx, h, actor, scope, cmd, in.Numbers, foray.VoucherSaid{Act: act}, nil)
}

// Send is packets that go to an institution.
type Send struct {
	Numbers     []string `json:"numbers"`
	Institution string   `json:"institution"`    // its code
	With        string   `json:"with,omitempty"` // its name, or who takes them there
	Words       string   `json:"words,omitempty"`
}

// SendVouchers sends packets to an institution: all of them, or none. What is kept because of an incident stays.
func SendVouchers(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Send) (Said, error) {
	cmd.Type, cmd.Body = "voucher.send.v1", in
	institution, err := institutionCode(in.Institution)
	if err != nil {
		return Said{}, err
	}
	with, err := tidy("with", in.With)
	if err != nil {
		return Said{}, err
	}
	if with == "" {
		with = institution
	}
	said := foray.VoucherSaid{Act: foray.VoucherSent, Institution: institution, Words: in.Words}
	return sayAll(ctx, h, actor, scope, cmd, in.Numbers, said, func(w *hall.Write, plate hall.Plate) error {
		return stand(w, plate, foray.Placement{Where: foray.SentTo, With: with})
	})
}

// sayAll says one word of several vouchers, and moves them where they go.
func sayAll(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, numbers []string, said foray.VoucherSaid,
	move func(*hall.Write, hall.Plate) error) (Said, error) {
	words, err := tidy("words", said.Words)
	if err != nil {
		return Said{}, err
	}
	said.Words = words
	return hall.Do(ctx, h, actor, access.RemovePlates, scope, cmd, func(w *hall.Write) (Said, error) {
		return each(w, numbers, func(_ int, plate hall.Plate) error {
			if err := w.SayVoucher(plate.Collection, said); err != nil || move == nil {
				return err
			}
			return move(w, plate)
		})
	})
}

// institutionForm is what Darwin Core's institutionCode is in practice: capitals, digits and few marks.
var institutionForm = regexp.MustCompile(`^[A-Z][A-Z0-9:&.-]{0,19}$`)

func institutionCode(written string) (string, error) {
	code := strings.ToUpper(strings.TrimSpace(written))
	if !institutionForm.MatchString(code) {
		return "", fault.Wrong("institution", "voucher.institution-form")
	}
	return code, nil
}
