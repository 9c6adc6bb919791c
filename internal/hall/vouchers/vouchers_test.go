package vouchers_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
	"forayhall/internal/hall/vouchers"
	"forayhall/internal/store"
)

var ctx = context.Background()

// drying is a hall with finds 1 … in it, and shorthand for what is done there.
type drying struct {
	*halltest.Ground
	t  testing.TB
	id map[int]foray.ID
}

func each(t *testing.T, fn func(*testing.T, *drying)) {
	t.Helper()
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) { fn(t, newDrying(t, g, 6)) })
}

func newDrying(t testing.TB, g *halltest.Ground, finds int) *drying {
	t.Helper()
	d := &drying{Ground: g, t: t, id: map[int]foray.ID{}}
	for n := 1; n <= finds; n++ {
		made, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: fmt.Sprint(n), Field: desk.Field{Group: "bolete", Outside: true}})
		d.must(err)
		d.id[n] = made.ID
	}
	return d
}

func (d *drying) must(err error) {
	d.t.Helper()
	if err != nil {
		d.t.Fatal(err)
	}
}

func (d *drying) refused(what string, err error, kind fault.Kind, key string) {
	d.t.Helper()
	f := fault.From(err)
	said := []string{f.Text.Key}
	for _, text := range f.Fields {
		said = append(said, text.Key)
		for _, argument := range text.Args {
			said = append(said, fmt.Sprint(argument))
		}
	}
	if err == nil || f.Kind != kind || !strings.Contains(strings.Join(said, " "), key) {
		d.t.Errorf("%s: %v, want %v %s", what, err, kind, key)
	}
}

func use[In, Out any](d *drying, who access.Right, do func(context.Context, *hall.Hall, access.Actor, access.Scope, hall.Command, In) (Out, error), in In) (Out, error) {
	d.t.Helper()
	return do(ctx, d.Hall, d.As[who], d.Scope, d.Command(d.t), in)
}

func (d *drying) dryer(name string, rows, places int) foray.ID {
	d.t.Helper()
	made, err := use(d, access.Steward, vouchers.AddDryer, vouchers.NewDryer{Name: name, Rows: rows, Places: places})
	d.must(err)
	return made.ID
}

func (d *drying) choose(numbers ...int) {
	d.t.Helper()
	for _, n := range numbers {
		_, err := use(d, access.Steward, vouchers.ChooseVoucher, vouchers.Choose{Number: fmt.Sprint(n), Reason: foray.ForMaterial})
		d.must(err)
	}
}

func (d *drying) load(number int, slot string) error {
	d.t.Helper()
	_, err := use(d, access.Steward, vouchers.LoadDryer, vouchers.Load{Plates: []vouchers.Loading{{Number: fmt.Sprint(number), Slot: slot}}})
	return err
}

func (d *drying) name(number int, text string) {
	d.t.Helper()
	_, err := bench.SignOff(ctx, d.Hall, d.As[access.Identifier], d.Scope, d.On(d.t, 0), bench.Word{Collection: d.id[number], Name: hall.NameInput{Text: text}, Basis: "microscopy"})
	d.must(err)
}

func (d *drying) see() vouchers.Sight {
	d.t.Helper()
	s, err := vouchers.See(ctx, d.Hall, d.As[access.Steward], d.Scope)
	d.must(err)
	return s
}

func (d *drying) gaps() (all []string) {
	for _, g := range d.see().Gaps {
		all = append(all, fmt.Sprint(g.Kind, " ", g.Plate.NumberBase))
	}
	return all
}

func (d *drying) want(what string, got []string, want ...string) {
	d.t.Helper()
	if !slices.Equal(got, want) {
		d.t.Errorf("%s: %q, want %q", what, got, want)
	}
}

// vouchers gives what other rooms read, of one find.
func (d *drying) voucher(number int) (v hall.Voucher) {
	d.t.Helper()
	d.must(d.View(ctx, access.Nobody, access.ReadPublic, d.Scope, func(l *hall.Look) error {
		all, err := l.Vouchers()
		v = all[d.id[number]]
		return err
	}))
	return v
}

// The way of a voucher from the table to the institution; would catch a step that forgets one before, a plate that is not
// where its voucher is said to be, and a reconciliation that names too much or too little.
func TestAVoucherGoesFromTheTableToTheInstitution(t *testing.T) {
	each(t, func(t *testing.T, d *drying) {
		two := 2
		_, err := use(d, access.Identifier, vouchers.ChooseVoucher, vouchers.Choose{Number: "HB26 0001", Reason: foray.ForUnresolved, Fruitbodies: &two, Tissue: true, Words: " young  and old "})
		d.must(err)
		d.choose(2)
		d.want("chosen", d.gaps(), "unpacked 1", "unpacked 2")
		d.dryer("A", 2, 3)
		d.must(d.load(1, "a1/1"))
		d.must(d.load(2, "A 2-3"))
		d.must(d.load(3, "A 1-2"))
		d.want("loaded", d.gaps(), "in_dryer 1", "in_dryer 2", "unchosen 3")
		if s := d.see(); s.Dryers[0].Lies != 3 || s.Dryers[0].Free() != 3 || !s.Dryers[0].Tissue || s.Dryers[0].Trays[1].Places[2].Plates[0].NumberBase != 2 {
			t.Errorf("the map is %+v", s.Dryers)
		}
		began := d.Now()
		d.Pass(20 * time.Hour)
		_, err = use(d, access.Desk, vouchers.TakeOutOfDryer, vouchers.TakeOut{Numbers: []string{"1", "2"}, Dry: true})
		d.must(err)
		_, err = use(d, access.Desk, vouchers.TakeOutOfDryer, vouchers.TakeOut{Numbers: []string{"3"}, Where: foray.OnBackTable})
		d.must(err)
		one, err := vouchers.SeeOne(ctx, d.Hall, d.As[access.Desk], d.Scope, foray.Number{Base: 1})
		d.must(err)
		if len(one.Stays) != 1 || one.Stays[0].Slot != "A 1-1" || !one.Stays[0].In.Equal(began) || !one.Stays[0].Out.Equal(d.Now()) || one.Plate.Whereabouts != foray.AtDesk {
			t.Errorf("in the dryer it was %+v, now at %s", one.Stays, one.Plate.Whereabouts)
		}
		for _, act := range []func() error{
			func() error {
				_, err := use(d, access.ListKeeper, vouchers.PackVouchers, vouchers.Pack{Numbers: []string{"1", "2"}, Words: "box 1"})
				return err
			},
			func() error {
				_, err := use(d, access.ListKeeper, vouchers.FreezeVouchers, vouchers.Freeze{Numbers: []string{"1"}})
				return err
			},
			func() error {
				_, err := use(d, access.ListKeeper, vouchers.FreezeVouchers, vouchers.Freeze{Numbers: []string{"1"}, Out: true})
				return err
			},
			func() error {
				_, err := use(d, access.ListKeeper, vouchers.SendVouchers, vouchers.Send{Numbers: []string{"1"}, Institution: "dcm", With: "Demo County Museum"})
				return err
			},
		} {
			d.must(act())
		}
		d.want("sent", d.gaps(), "no_number 1")
		v := d.voucher(1)
		if !v.Chosen || !v.Packed || !v.Frozen || v.Freezer || v.Institution != "DCM" || v.Accession != "" || v.Kept == nil || *v.Kept != 2 || v.Why != "young and old" || !v.OutDry {
			t.Errorf("the voucher stands as %+v", v)
		}
		for _, code := range []vouchers.Code{{Kind: foray.Accession, Code: "F 000123", HeldAt: "DCM", Dated: "2026-10"}, {Kind: foray.Tissue, Code: "P3-A04", Dated: "2026-10-24", By: "Zara Marsh"},
			{Kind: foray.Sequence, Code: "XX000123", HeldAt: "invented archive", Marker: "ITS", Dated: "2026"}, {Kind: foray.OwnNumber, Code: "Marsh 1204"}} {
			_, err := use(d, access.ListKeeper, vouchers.AddCode, vouchers.NewCode{Number: "1", Code: code})
			d.must(err)
		}
		v = d.voucher(1)
		if v.Accession != "F 000123" || v.OwnNumber != "Marsh 1204" || len(v.Tissues) != 1 || v.Tissues[0].By != "Zara Marsh" || len(v.Sequences) != 1 || v.Sequences[0].Accession != "XX000123" {
			t.Errorf("it bears %+v", v)
		}
		d.want("all is back", d.gaps())
		if v := d.voucher(3); v.Chosen {
			t.Errorf("nobody chose it: %+v", v)
		}
	})
}

// Would catch a deadly plate that nobody clears from the table because it is said to be in its packet.
func TestWhatIsPackedLiesOnNoTable(t *testing.T) {
	each(t, func(t *testing.T, d *drying) {
		d.choose(1)
		_, err := use(d, access.Steward, tables.PlacePlate, tables.Place{Collection: d.id[1], Where: foray.OnBackTable})
		d.must(err)
		_, err = use(d, access.ListKeeper, vouchers.PackVouchers, vouchers.Pack{Numbers: []string{"1"}})
		d.must(err)
		one, err := vouchers.SeeOne(ctx, d.Hall, d.As[access.Desk], d.Scope, foray.Number{Base: 1})
		d.must(err)
		if one.Plate.Whereabouts != foray.AtDesk {
			t.Errorf("in its packet it is %s", one.Plate.Whereabouts)
		}
	})
}

func TestOnePlateLiesAtEachPlaceOfADryer(t *testing.T) {
	each(t, func(t *testing.T, d *drying) {
		d.dryer("A", 2, 2)
		d.must(d.load(1, "A 1-1"))
		err := d.load(2, "a 1/1")
		d.refused("two in a slot", err, fault.Invalid, "0001")
		d.refused("no such place", d.load(2, "A 9-1"), fault.Invalid, "dryer.no-slot")
		_, err = use(d, access.Steward, tables.PlacePlate, tables.Place{Collection: d.id[2], Where: foray.InDryer, Position: "A1-1"})
		d.refused("by the other way", err, fault.Invalid, "0001")
		_, err = use(d, access.Steward, tables.PlaceSeveral, tables.Several{Where: foray.InDryer, Plates: []tables.Spot{{Number: "2", Position: "A 1-2"}, {Number: "3", Position: "A 1-2"}}})
		d.refused("by several at once", err, fault.Invalid, "place.not-this")
		_, err = use(d, access.Steward, vouchers.LoadDryer, vouchers.Load{Plates: []vouchers.Loading{{Number: "2", Slot: "A 1-2"}, {Number: "3", Slot: "A 1-2"}}})
		d.refused("two in one load", err, fault.Invalid, "place.not-this")
		if lies := d.see().Dryers[0].Lies; lies != 1 {
			t.Errorf("%d lie in the dryer after refusals, want 1", lies)
		}
		loaded, err := use(d, access.Steward, vouchers.LoadDryer, vouchers.Load{Dryer: "a", Plates: []vouchers.Loading{{Number: "2"}, {Number: "3", Slot: "A 1-2"}, {Number: "4"}}, Reason: foray.ForMaterial})
		d.must(err)
		d.want("the next that are free", []string{loaded.Plates[0].Slot, loaded.Plates[1].Slot, loaded.Plates[2].Slot}, "A 2-1", "A 1-2", "A 2-2")
		if !d.voucher(2).Chosen || d.voucher(1).Chosen {
			t.Error("loading with a reason chooses what was not chosen, and nothing else")
		}
		_, err = use(d, access.Steward, vouchers.LoadDryer, vouchers.Load{Dryer: "A", Plates: []vouchers.Loading{{Number: "5"}}})
		d.refused("a full dryer", err, fault.Invalid, "place.not-this")
		d.must(d.load(1, "A 1-1")) // where it lies
	})
}

func TestADryerIsSetUpOnceAndTakenAwayEmpty(t *testing.T) {
	each(t, func(t *testing.T, d *drying) {
		id := d.dryer("A", 2, 2)
		_, err := use(d, access.Steward, vouchers.AddDryer, vouchers.NewDryer{Name: "a", Rows: 1, Places: 1})
		d.refused("a second of the name", err, fault.Invalid, "dryer.named")
		for _, n := range []int{1, 2} {
			_, err := use(d, access.Steward, tables.PlacePlate, tables.Place{Collection: d.id[n], Where: foray.InDryer, Position: "Oven top"})
			d.must(err)
		}
		d.want("off the map", d.gaps(), "shared 1", "shared 2", "unchosen 1", "unchosen 2", "off_map 1", "off_map 2")
		_, err = use(d, access.Steward, vouchers.AddDryer, vouchers.NewDryer{Name: "Oven", Trays: []string{"top", " ", "bottom"}, Places: 1})
		d.refused("two would lie at one place", err, fault.Invalid, "dryer.two-there")
		d.must(d.load(2, "A 1-1"))
		_, err = use(d, access.Steward, vouchers.AddDryer, vouchers.NewDryer{Name: "Oven", Trays: []string{"top", " ", "bottom"}, Places: 1})
		d.must(err)
		d.want("on the map", d.gaps(), "unchosen 1", "unchosen 2")
		_, err = use(d, access.Steward, vouchers.TakeDryer, vouchers.Taken{Dryer: id.String()})
		d.refused("not empty", err, fault.Refused, "dryer.not-empty")
		_, err = use(d, access.Steward, vouchers.TakeOutOfDryer, vouchers.TakeOut{Numbers: []string{"2"}})
		d.must(err)
		_, err = use(d, access.Steward, vouchers.TakeDryer, vouchers.Taken{Dryer: "A"})
		d.must(err)
		d.dryer("A", 1, 1)
		if s := d.see(); len(s.Dryers) != 2 || s.Dryers[0].Name != "A" {
			t.Errorf("there stand %+v", s.Dryers)
		}
	})
}

func TestATemperatureIsKeptAndAdvisedOn(t *testing.T) {
	each(t, func(t *testing.T, d *drying) {
		d.dryer("A", 1, 4)
		read := func(celsius float64) foray.DryerAdvice {
			t.Helper()
			d.Pass(time.Minute)
			out, err := use(d, access.Desk, vouchers.ReadTemperature, vouchers.Temperature{Dryer: "A", Celsius: celsius})
			d.must(err)
			if (out.Text == "") != (out.Advice == "") {
				t.Errorf("%.0f °C: %+v", celsius, out)
			}
			return out.Advice
		}
		d.choose(1)
		d.must(d.load(1, "A 1-1"))
		if got := read(43); got != foray.Warm {
			t.Errorf("43 °C: %q", got)
		}
		_, err := use(d, access.Steward, vouchers.ChooseVoucher, vouchers.Choose{Number: "1", Reason: foray.ForMaterial, Tissue: true})
		d.must(err)
		if got := read(43); got != foray.HotForDNA {
			t.Errorf("43 °C with tissue wanted: %q", got)
		}
		if got := read(51.26); got != foray.TooHot {
			t.Errorf("51 °C: %q", got)
		}
		_, err = use(d, access.Desk, vouchers.ReadTemperature, vouchers.Temperature{Dryer: "A", Celsius: 400})
		d.refused("no thermometer", err, fault.Invalid, "dryer.celsius")
		if s := d.see().Dryers[0]; len(s.Readings) != 3 || s.Readings[0].Celsius != 51.3 || s.Advice != foray.TooHot {
			t.Errorf("read was %+v", s.Readings)
		}
	})
}

func TestWhatTheLawProtectsIsKeptOutOfDryerAndPackets(t *testing.T) {
	each(t, func(t *testing.T, d *drying) {
		d.dryer("A", 1, 4)
		d.name(1, "Hericium coralloides")
		flag := func(permit string) {
			_, err := setup.AddFlag(ctx, d.Hall, d.As[access.Organiser], d.Scope, d.Command(t), setup.Flag{Name: "Hericium coralloides", Flag: hall.Protected, Source: "the county's order", Permit: permit})
			d.must(err)
		}
		flag("")
		_, err := use(d, access.Steward, vouchers.ChooseVoucher, vouchers.Choose{Number: "1", Reason: foray.ForMaterial})
		d.refused("chosen", err, fault.Refused, "flag.refused")
		d.refused("loaded", d.load(1, "A 1-1"), fault.Invalid, "place.not-this")
		d.name(2, "Hericium cf. coralloides")
		if all := d.see().Proposals; len(all) != 1 || all[0].Plate.NumberBase != 2 || all[0].Barred.Key != "flag.protected" {
			t.Errorf("proposed is %+v, want 0002 alone with what the law says", all)
		}
	})
}

func TestWhoMayDoWhatWithVouchers(t *testing.T) {
	each(t, func(t *testing.T, d *drying) {
		d.choose(1, 2)
		for i, right := range access.Rights[1:] {
			_, err := use(d, right, vouchers.ChooseVoucher, vouchers.Choose{Number: "3", Reason: foray.ForMaterial})
			if may := access.Allows(right, access.RemovePlates); (err == nil) != may || err != nil && !fault.Is(err, fault.NotAllowed) {
				t.Errorf("%s chooses: %v", right, err)
			}
			_, err = use(d, right, vouchers.AddCode, vouchers.NewCode{Number: "1", Code: vouchers.Code{Kind: foray.Sequence, Code: fmt.Sprint("XX00000", i), HeldAt: "invented", Marker: "ITS"}})
			may := slices.Contains([]access.Right{access.Identifier, access.ChiefIdentifier, access.ListKeeper, access.Organiser}, right)
			if (err == nil) != may || err != nil && !fault.Is(err, fault.NotAllowed) {
				t.Errorf("%s writes a sequence: %v", right, err)
			}
		}
	})
}

func TestANumberIsBorneOnceAndKindsAreNeverMixed(t *testing.T) {
	each(t, func(t *testing.T, d *drying) {
		d.choose(1, 2)
		add := func(number int, c vouchers.Code) (foray.ID, error) {
			made, err := use(d, access.ListKeeper, vouchers.AddCode, vouchers.NewCode{Number: fmt.Sprint(number), Code: c})
			return made.ID, err
		}
		accession := func(code, at string) vouchers.Code {
			return vouchers.Code{Kind: foray.Accession, Code: code, HeldAt: at}
		}
		id, err := add(1, accession("F 12", "dcm"))
		d.must(err)
		_, err = add(2, accession("f12", "DCM"))
		d.refused("the accession of another", err, fault.Invalid, "voucher.borne.accession")
		_, err = add(1, accession("F 13", "DCM"))
		d.refused("two of one institution", err, fault.Invalid, "voucher.has-one")
		_, err = add(2, accession("F 12", "NCM"))
		d.must(err) // another institution counts for itself
		_, err = add(3, accession("F 14", "DCM"))
		d.refused("of what nobody chose", err, fault.Refused, "voucher.not-chosen")
		_, err = add(2, accession("HB26-0002", "DCM"))
		d.refused("the hall's number", err, fault.Invalid, "voucher.is-hall-number")
		_, err = add(1, vouchers.Code{Kind: foray.OwnNumber, Code: "F12"})
		d.refused("the accession as own number", err, fault.Invalid, "voucher.mixed.accession")
		_, err = add(1, vouchers.Code{Kind: foray.OwnNumber, Code: "1204"})
		d.refused("an own number of nobody", err, fault.Invalid, "voucher.own-form")
		_, err = add(1, vouchers.Code{Kind: foray.Tissue, Code: "P1-A1", Dated: "24.10.2026"})
		d.refused("a date that sorts by nothing", err, fault.Invalid, "voucher.date-form")
		_, err = use(d, access.ListKeeper, vouchers.DropVoucher, vouchers.Word{Number: "1", Words: "maggots"})
		d.refused("dropped while an institution keeps it", err, fault.Refused, "voucher.is-kept-at")

		right := func(id foray.ID, words string, c vouchers.Code) (foray.ID, error) {
			d.Pass(time.Minute)
			made, err := use(d, access.ListKeeper, vouchers.PutCodeRight, vouchers.ReplaceCode{ID: id, Words: words, Code: c})
			return made.ID, err
		}
		_, err = right(id, " ", accession("F 15", "DCM"))
		d.refused("without why", err, fault.Invalid, "voucher.why-missing")
		next, err := right(id, "a slip of the pen", accession("F 15", "DCM"))
		d.must(err)
		if _, err := right(id, "again", accession("F 16", "DCM")); !fault.Is(err, fault.NotFound) {
			t.Errorf("what was replaced is replaced again: %v", err)
		}
		if v := d.voucher(1); v.Accession != "F 15" {
			t.Errorf("it bears %+v", v)
		}
		_, err = right(next, "they sent it back", vouchers.Code{})
		d.must(err)
		if v := d.voucher(1); v.Accession != "" || v.Institution != "" {
			t.Errorf("it bears %+v", v)
		}
		_, err = add(2, accession("F 12", "DCM"))
		d.must(err) // nobody bears it any more
		one, err := vouchers.SeeOne(ctx, d.Hall, d.As[access.Desk], d.Scope, foray.Number{Base: 1})
		d.must(err)
		if len(one.Codes) != 3 || one.Codes[0].Code != "F 12" || one.Codes[2].Words != "they sent it back" {
			t.Errorf("of the history there is %+v", one.Codes)
		}
		d.must(d.Store.Read(ctx, func(tx *store.Tx) error {
			c, err := tx.Check()
			for _, b := range c.Broken {
				t.Errorf("check: %s %s", b.Rule, b.Text.Key)
			}
			return err
		}))
	})
}

func TestProposalsSayWhy(t *testing.T) {
	each(t, func(t *testing.T, d *drying) {
		d.name(1, "Amanita phalloides")
		d.name(2, "Boletus edulis")
		d.name(3, "Boletus edulis")
		d.name(4, "Boletus cf. edulis")
		d.choose(6)
		reasons := map[int]string{}
		for _, p := range d.see().Proposals {
			reasons[p.Plate.NumberBase] = fmt.Sprint(p.Reasons)
		}
		for n, want := range map[int]string{1: "[hazard none_kept]", 2: "[none_kept]", 3: "", 4: "[unresolved]", 5: "", 6: ""} {
			if reasons[n] != want {
				t.Errorf("%d is proposed for %q, want %q", n, reasons[n], want)
			}
		}
		d.choose(3)
		_, err := use(d, access.Steward, vouchers.DropVoucher, vouchers.Word{Number: "6", Words: "maggots"})
		d.must(err)
		for _, p := range d.see().Proposals {
			if p.Plate.NumberBase == 2 {
				t.Error("one of the species is kept, and another is proposed")
			}
		}
		if s := d.see(); len(s.Dropped) != 1 || s.Dropped[0].Voucher.Why != "maggots" {
			t.Errorf("dropped: %+v", s.Dropped)
		}
	})
}

func TestAVoucherIsNotLostWhenItsPlateIsSplitOrMerged(t *testing.T) {
	each(t, func(t *testing.T, d *drying) {
		d.dryer("A", 1, 4)
		d.choose(1, 2)
		d.must(d.load(1, "A 1-1"))
		made, err := use(d, access.Desk, desk.SplitCollection, desk.Split{Collection: d.id[1], Parts: []desk.Part{{}, {}}})
		d.must(err)
		d.id[11], d.id[12] = made.Parts[0].ID, made.Parts[1].ID
		if !d.voucher(11).Chosen || !d.voucher(12).Chosen || d.voucher(12).Reason != foray.ForMaterial {
			t.Error("the parts of a voucher are none")
		}
		d.want("one lies where the whole lay", d.gaps(), "in_dryer 1", "unpacked 1", "unpacked 2")
		_, err = use(d, access.Desk, desk.MergeCollection, desk.Merge{Collection: d.id[2], Into: "3", Reason: "one troop"})
		d.must(err)
		if v := d.voucher(3); !v.Chosen {
			t.Errorf("what a voucher was merged into is %+v", v)
		}
	})
}
