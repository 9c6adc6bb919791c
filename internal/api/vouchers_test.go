package api_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/api"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/vouchers"
)

// wholeVouchers is a command of vouchers and dryers to which nothing but a right could be lacking.
func (s *served) wholeVouchers(t *testing.T, kind, way string) object {
	t.Helper()
	s.number++
	n := s.number
	accession := object{"kind": "accession", "code": fmt.Sprint("F ", n), "held_at": "DCM"}
	switch kind + "/" + way {
	case "voucher.choose.v1/":
		return s.cmd(t, kind, object{"number": s.signed(t), "reason": "hazard", "fruitbodies": 3})
	case "voucher.drop.v1/":
		return s.cmd(t, kind, object{"number": s.chosen(t), "words": "maggots"})
	case "voucher.pack.v1/":
		return s.cmd(t, kind, object{"numbers": []string{s.chosen(t)}})
	case "voucher.unpack.v1/":
		return s.cmd(t, kind, object{"number": s.packed(t), "words": "it was damp"})
	case "voucher.freeze.v1/":
		return s.cmd(t, kind, object{"numbers": []string{s.packed(t)}})
	case "voucher.send.v1/":
		return s.cmd(t, kind, object{"numbers": []string{s.packed(t)}, "institution": "DCM"})
	case "voucher.code.v1/tissue":
		return s.cmd(t, kind, object{"number": s.chosen(t), "kind": "tissue", "code": fmt.Sprint("P1-", n)})
	case "voucher.code.v1/accession":
		accession["number"] = s.chosen(t)
		return s.cmd(t, kind, accession)
	case "voucher.code-right.v1/":
		made, err := vouchers.AddCode(ctx, s.Hall, s.As[access.ListKeeper], s.Scope, s.Command(t), vouchers.NewCode{Number: s.chosen(t),
			Code: vouchers.Code{Kind: foray.Accession, Code: fmt.Sprint("G ", n), HeldAt: "DCM"}})
		s.must(t, err)
		accession["id"], accession["words"] = made.ID, "a slip of the pen"
		return s.cmd(t, kind, accession)
	case "dryer.add.v1/":
		return s.cmd(t, kind, object{"name": fmt.Sprint("D", n), "rows": 2, "places": 4})
	case "dryer.take.v1/":
		return s.cmd(t, kind, object{"dryer": s.dryer(t)})
	case "dryer.load.v1/":
		return s.cmd(t, kind, object{"dryer": s.dryer(t), "plates": []object{{"number": s.signed(t)}}})
	case "dryer.take-out.v1/":
		number := s.signed(t)
		_, err := vouchers.LoadDryer(ctx, s.Hall, s.As[access.Steward], s.Scope, s.Command(t), vouchers.Load{Dryer: s.dryer(t), Plates: []vouchers.Loading{{Number: number}}})
		s.must(t, err)
		return s.cmd(t, kind, object{"numbers": []string{number}, "dry": true})
	case "dryer.temperature.v1/":
		return s.cmd(t, kind, object{"dryer": s.dryer(t), "celsius": 46.5})
	}
	return nil
}

func (s *served) chosen(t *testing.T) string {
	t.Helper()
	number := s.signed(t)
	_, err := vouchers.ChooseVoucher(ctx, s.Hall, s.As[access.Steward], s.Scope, s.Command(t), vouchers.Choose{Number: number, Reason: foray.ForMaterial})
	s.must(t, err)
	return number
}

func (s *served) packed(t *testing.T) string {
	t.Helper()
	number := s.chosen(t)
	_, err := vouchers.PackVouchers(ctx, s.Hall, s.As[access.Steward], s.Scope, s.Command(t), vouchers.Pack{Numbers: []string{number}})
	s.must(t, err)
	return number
}

func (s *served) dryer(t *testing.T) string {
	t.Helper()
	s.number++
	name := fmt.Sprint("D", s.number)
	_, err := vouchers.AddDryer(ctx, s.Hall, s.As[access.Steward], s.Scope, s.Command(t), vouchers.NewDryer{Name: name, Rows: 1, Places: 2})
	s.must(t, err)
	return name
}

// reconciled empties the dryers and packs or drops what was chosen.
func (s *served) reconciled(t *testing.T) {
	t.Helper()
	for _, do := range []func(n string, kind hall.GapKind) error{
		func(n string, kind hall.GapKind) (err error) {
			if !slices.Contains([]hall.GapKind{hall.GapUnpacked, hall.GapMissing, hall.GapNotDry, hall.GapNotBack}, kind) {
				_, err = vouchers.TakeOutOfDryer(ctx, s.Hall, s.Machine, s.Scope, s.Command(t), vouchers.TakeOut{Numbers: []string{n}, Dry: true})
			}
			return err
		},
		func(n string, kind hall.GapKind) (err error) {
			switch kind {
			case hall.GapUnpacked:
				_, err = vouchers.PackVouchers(ctx, s.Hall, s.Machine, s.Scope, s.Command(t), vouchers.Pack{Numbers: []string{n}})
			case hall.GapMissing:
				_, err = vouchers.DropVoucher(ctx, s.Hall, s.Machine, s.Scope, s.Command(t), vouchers.Word{Number: n, Words: "gone"})
			}
			return err
		},
	} {
		seen, err := vouchers.See(ctx, s.Hall, s.Machine, s.Scope)
		s.must(t, err)
		done := map[string]bool{}
		for _, g := range seen.Gaps {
			if n := g.Plate.Number().String(); !done[n] {
				done[n] = true
				s.must(t, do(n, g.Kind))
			}
		}
	}
}

// Would catch a view that hides what lies where, advice that is not given, and a place that is given away over the API without
// the other number being named.
func TestTheDryersMapIsReadAndOneNumberLiesAtEachPlace(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		one, two := s.signed(t), s.signed(t)
		status(t, s.send(t, "steward", s.cmd(t, "dryer.add.v1", object{"name": "A", "trays": []string{"top", "bottom"}, "places": 2}))[0], "applied")
		status(t, s.send(t, "steward", s.cmd(t, "dryer.load.v1", object{"plates": []object{{"number": one, "slot": "A top-2"}}, "reason": "unresolved"}))[0], "applied")
		got := s.send(t, "steward", s.cmd(t, "dryer.load.v1", object{"plates": []object{{"number": two, "slot": "a top-2"}}}))[0]
		status(t, got, "refused")
		if got.Problem.Status != 422 || !strings.Contains(fmt.Sprint(got.Problem), one) {
			t.Errorf("two at one place: %+v", got.Problem)
		}
		heat := s.send(t, "desk", s.cmd(t, "dryer.temperature.v1", object{"dryer": "A", "celsius": 47}))[0]
		status(t, heat, "applied")
		if heat.Result["advice"] != "hot" || heat.Result["text"] == "" {
			t.Errorf("47 °C: %+v", heat.Result)
		}
		seen := see[api.Vouchers](t, s, "list_keeper", "/hollinbeck/HB26/vouchers")
		if len(seen.Dryers) != 1 || !slices.Equal(seen.Dryers[0].Trays[0].Slots[1].Numbers, []string{one}) || seen.Dryers[0].Advice != foray.TooHot {
			t.Errorf("the map is %+v", seen.Dryers)
		}
		if len(seen.Vouchers) != 1 || seen.Vouchers[0].Number != one || seen.Vouchers[0].Slot != "A top-2" || len(seen.Vouchers[0].Stays) != 1 {
			t.Errorf("kept is %+v", seen.Vouchers)
		}
		if len(seen.Gaps) != 1 || seen.Gaps[0].Kind != hall.GapInDryer || seen.Gaps[0].Closes {
			t.Errorf("missing is %+v", seen.Gaps)
		}
	})
}
