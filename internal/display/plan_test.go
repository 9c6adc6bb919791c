package display_test

import (
	"testing"

	"forayhall/internal/display"
)

// The capacities of six- and eight-foot trestles, 7 × 2 and 9 × 2: common practice.
func TestSlotsOfCommonTables(t *testing.T) {
	for _, c := range []struct{ length, depth, want int }{{1830, 760, 14}, {2440, 760, 18}, {600, 300, 2}, {200, 760, 0}} {
		if got := display.Slots(c.length, c.depth); got != c.want {
			t.Errorf("%d × %d mm hold %d, want %d", c.length, c.depth, got, c.want)
		}
	}
}

func TestTablesStandWhereTheyWereSaidToAndTheOthersInRowsBelow(t *testing.T) {
	trestle := func(n, x, y int, turned bool) display.Table {
		return display.Table{Number: n, X: x, Y: y, LengthMM: 1830, DepthMM: 760, Turned: turned}
	}
	tables := []display.Table{trestle(9, 0, 0, false), trestle(2, 500, 700, true)}
	for n := 3; n <= 8; n++ {
		tables = append(tables, trestle(n, 0, 0, false))
	}
	p := display.Lay(tables)
	if len(p.Boxes) != 8 {
		t.Fatalf("%d boxes", len(p.Boxes))
	}
	if b := p.Boxes[0]; b != (display.Box{Number: 2, X: 500, Y: 700, Width: 760, Height: 1830}) {
		t.Errorf("the turned table stands at %+v", b)
	}
	for i, a := range p.Boxes {
		if a.X+a.Width > p.Width || a.Y+a.Height > p.Height {
			t.Errorf("table %d stands outside the hall", a.Number)
		}
		for _, b := range p.Boxes[:i] {
			if a.X < b.X+b.Width && b.X < a.X+a.Width && a.Y < b.Y+b.Height && b.Y < a.Y+a.Height {
				t.Errorf("tables %d and %d stand on one another", a.Number, b.Number)
			}
		}
	}
}

func TestNoTablesAreAnEmptyHall(t *testing.T) {
	if p := display.Lay(nil); p.Width != 0 || len(p.Boxes) != 0 {
		t.Errorf("%+v", p)
	}
}
