package keeping_test

import (
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/vouchers"
)

// keptThere adds a dryer that stands and one that was taken away, a reading, a voucher with its words, and a code that was
// put right.
func keptThere(t testing.TB, g *halltest.Ground) {
	t.Helper()
	by, kept := g.As[access.ListKeeper], 2
	made, said, coded := must[vouchers.Made](t), must[vouchers.Said](t), must[vouchers.Coded](t)
	made(vouchers.AddDryer(ctx, g.Hall, by, g.Scope, g.Command(t), vouchers.NewDryer{Name: "Å", Trays: []string{"top", "“middle”"}, Places: 3}))
	made(vouchers.AddDryer(ctx, g.Hall, by, g.Scope, g.Command(t), vouchers.NewDryer{Name: "B", Rows: 1, Places: 1}))
	made(vouchers.TakeDryer(ctx, g.Hall, by, g.Scope, g.Command(t), vouchers.Taken{Dryer: "B"}))
	must[vouchers.Advised](t)(vouchers.ReadTemperature(ctx, g.Hall, by, g.Scope, g.Command(t), vouchers.Temperature{Dryer: "Å", Celsius: 38.3}))
	said(vouchers.ChooseVoucher(ctx, g.Hall, by, g.Scope, g.Command(t), vouchers.Choose{Number: "9", Reason: foray.ForSpecialist, Fruitbodies: &kept, Tissue: true, Words: "for Łucja"}))
	must[vouchers.Loaded](t)(vouchers.LoadDryer(ctx, g.Hall, by, g.Scope, g.Command(t), vouchers.Load{Plates: []vouchers.Loading{{Number: "9", Slot: "Å top-2"}}}))
	said(vouchers.TakeOutOfDryer(ctx, g.Hall, by, g.Scope, g.Command(t), vouchers.TakeOut{Numbers: []string{"9"}, Dry: true}))
	said(vouchers.PackVouchers(ctx, g.Hall, by, g.Scope, g.Command(t), vouchers.Pack{Numbers: []string{"9"}}))
	tube := coded(vouchers.AddCode(ctx, g.Hall, by, g.Scope, g.Command(t), vouchers.NewCode{Number: "9", Code: vouchers.Code{Kind: foray.Tissue, Code: "P1-A4", Dried: true, Dated: "2026-10"}}))
	coded(vouchers.PutCodeRight(ctx, g.Hall, by, g.Scope, g.Command(t), vouchers.ReplaceCode{ID: tube.ID, Words: "misread", Code: vouchers.Code{Code: "P1-A14", Dated: "2026-10-24"}}))
}
