package foray_test

import (
	"testing"

	"pgregory.net/rapid"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
)

func TestWhatMayBeSaidOfAVoucher(t *testing.T) {
	chosen := foray.VoucherSaid{Act: foray.VoucherChosen, Reason: foray.ForHazard}
	packed := foray.VoucherSaid{Act: foray.VoucherPacked}
	none, some, many := 0, 3, foray.MostKept+1
	for name, c := range map[string]struct {
		before []foray.VoucherSaid
		say    foray.VoucherSaid
		where  foray.Whereabouts
		want   fault.Kind // Internal: it may be said
	}{
		"chosen":                        {nil, foray.VoucherSaid{Act: foray.VoucherChosen, Reason: foray.ForHazard, Kept: &some}, foray.OnTable, fault.Internal},
		"chosen without a reason":       {nil, foray.VoucherSaid{Act: foray.VoucherChosen}, foray.OnTable, fault.Invalid},
		"none kept":                     {nil, foray.VoucherSaid{Act: foray.VoucherChosen, Reason: foray.ForHazard, Kept: &none}, foray.OnTable, fault.Invalid},
		"more kept than anybody counts": {nil, foray.VoucherSaid{Act: foray.VoucherChosen, Reason: foray.ForHazard, Kept: &many}, foray.OnTable, fault.Invalid},
		"chosen when discarded":         {nil, chosen, foray.Discarded, fault.Refused},
		"chosen when lost":              {nil, chosen, foray.Lost, fault.Refused},
		"chosen again, put right":       {[]foray.VoucherSaid{chosen}, chosen, foray.OnTable, fault.Internal},
		"dropped and nobody chose it":   {nil, foray.VoucherSaid{Act: foray.VoucherDropped, Words: "poor"}, foray.OnTable, fault.Refused},
		"dropped without why":           {[]foray.VoucherSaid{chosen}, foray.VoucherSaid{Act: foray.VoucherDropped}, foray.OnTable, fault.Invalid},
		"dropped":                       {[]foray.VoucherSaid{chosen}, foray.VoucherSaid{Act: foray.VoucherDropped, Words: "maggots"}, foray.Lost, fault.Internal},
		"packed in the dryer":           {[]foray.VoucherSaid{chosen}, packed, foray.InDryer, fault.Refused},
		"packed when lost":              {[]foray.VoucherSaid{chosen}, packed, foray.Lost, fault.Refused},
		"packed":                        {[]foray.VoucherSaid{chosen}, packed, foray.AtDesk, fault.Internal},
		"packed twice":                  {[]foray.VoucherSaid{chosen, packed}, packed, foray.AtDesk, fault.Refused},
		"out of no dryer":               {[]foray.VoucherSaid{chosen}, foray.VoucherSaid{Act: foray.VoucherTakenOut, Dry: true}, foray.AtDesk, fault.Refused},
		"out of the dryer, not chosen":  {nil, foray.VoucherSaid{Act: foray.VoucherTakenOut}, foray.InDryer, fault.Internal},
		"frozen before it is packed":    {[]foray.VoucherSaid{chosen}, foray.VoucherSaid{Act: foray.FreezerIn}, foray.AtDesk, fault.Refused},
		"out of a freezer it is not in": {[]foray.VoucherSaid{chosen, packed}, foray.VoucherSaid{Act: foray.FreezerOut}, foray.AtDesk, fault.Refused},
		"sent to nobody":                {[]foray.VoucherSaid{chosen, packed}, foray.VoucherSaid{Act: foray.VoucherSent}, foray.AtDesk, fault.Invalid},
		"sent before it is packed":      {[]foray.VoucherSaid{chosen}, foray.VoucherSaid{Act: foray.VoucherSent, Institution: "DCM"}, foray.AtDesk, fault.Refused},
		"sent":                          {[]foray.VoucherSaid{chosen, packed}, foray.VoucherSaid{Act: foray.VoucherSent, Institution: "DCM"}, foray.AtDesk, fault.Internal},
	} {
		err := foray.ReplayVoucher(c.before).Permit(c.say, c.where)
		if (err == nil) != (c.want == fault.Internal) || err != nil && !fault.Is(err, c.want) {
			t.Errorf("%s: %v, want kind %v", name, err, c.want)
		}
	}
}

// Whatever is said in whatever order, as far as it is permitted: a packet holds something that was chosen, only a packet
// is in the freezer or sent, and what was dropped is nothing of these.
func TestAVoucherIsPackedOnlyWhileItIsChosen(t *testing.T) {
	acts := []foray.VoucherAct{foray.VoucherChosen, foray.VoucherDropped, foray.VoucherTakenOut, foray.VoucherPacked, foray.VoucherUnpacked, foray.FreezerIn, foray.FreezerOut, foray.VoucherSent}
	rapid.Check(t, func(t *rapid.T) {
		var said []foray.VoucherSaid
		for range rapid.IntRange(1, 30).Draw(t, "words") {
			w := foray.VoucherSaid{Act: rapid.SampledFrom(acts).Draw(t, "act"), Reason: foray.ForMaterial, Words: "why", Institution: "DCM"}
			if foray.ReplayVoucher(said).Permit(w, rapid.SampledFrom(foray.AllWhereabouts).Draw(t, "where")) == nil {
				said = append(said, w)
			}
			v := foray.ReplayVoucher(said)
			if v.Packed && !v.Chosen || (v.Freezer || v.Sent) && !v.Packed || v.Dropped && v.Chosen || v.Sent != (v.To != "") || v.Sent && v.Freezer && said[len(said)-1].Act == foray.VoucherSent {
				t.Fatalf("after %+v it is %+v", said, v)
			}
		}
	})
}
