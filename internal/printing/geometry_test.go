package printing

import (
	"bytes"
	"testing"
)

// drawnSheet is a sheet's bytes with everything that was drawn and where.
func drawnSheet(t testing.TB, s WarningSheet, p Paper) []mark {
	t.Helper()
	c, err := newCanvas(p.Size.mm())
	if err != nil {
		t.Fatal(err)
	}
	marks := watch(c)
	if err := drawSheet(c, s, p); err != nil {
		t.Fatal(err)
	}
	return *marks
}

func drawnCards(t testing.TB, cards []Card, run CardRun) ([]mark, Report) {
	t.Helper()
	c, err := newCanvas(run.Stock.PageW, run.Stock.PageH)
	if err != nil {
		t.Fatal(err)
	}
	marks := watch(c)
	report, err := drawCards(c, cards, run)
	if err != nil {
		t.Fatal(err)
	}
	return *marks, report
}

func watch(c *canvas) *[]mark {
	var marks []mark
	c.seen = func(m mark) { marks = append(marks, m) }
	return &marks
}

// hardly is what may overlap without being seen, in millimetres: descenders into the space of accents.
const hardly = 0.12

func (m mark) overlaps(o mark) bool {
	return m.page == o.page && m.x+m.w-hardly > o.x && o.x+o.w-hardly > m.x && m.y+m.h-hardly > o.y && o.y+o.h-hardly > m.y
}

func (m mark) within(x, y, w, h float64) bool {
	return m.x >= x-hardly && m.y >= y-hardly && m.x+m.w <= x+w+hardly && m.y+m.h <= y+h+hardly
}

type fataler interface {
	Errorf(format string, args ...any)
}

// nothingOverlaps checks that no text stands on another, on a code or on a shape.
func nothingOverlaps(t fataler, marks []mark) {
	pages := map[int][]mark{}
	for _, m := range marks {
		if m.kind == "text" || m.kind == "code" || m.text == "hazard" || m.text == "slips" {
			pages[m.page] = append(pages[m.page], m)
		}
	}
	for page, list := range pages {
		for i, m := range list {
			for _, o := range list[:i] {
				if m.overlaps(o) {
					t.Errorf("page %d: %q at %.1f, %.1f overlaps %q at %.1f, %.1f", page, m.text, m.x, m.y, o.text, o.x, o.y)
				}
			}
		}
	}
}

func inside(t fataler, marks []mark, x, y, w, h float64) {
	for _, m := range marks {
		if !m.within(x, y, w, h) {
			t.Errorf("page %d: %s %q at %.1f, %.1f (%.1f × %.1f) is outside %.1f, %.1f, %.1f × %.1f", m.page, m.kind, m.text, m.x, m.y, m.w, m.h, x, y, w, h)
		}
	}
}

// insideCards checks that each mark, cut marks apart, lies within one card, its frame's outer edge included.
func insideCards(t fataler, marks []mark, s Stock) {
	for _, m := range marks {
		if m.text == "rule" {
			continue
		}
		held := false
		for at := range s.PerPage() {
			x, y := s.place(at)
			held = held || m.within(x, y, s.CardW, s.CardH)
		}
		if !held {
			t.Errorf("page %d: %s %q at %.1f, %.1f (%.1f × %.1f) is in no card", m.page, m.kind, m.text, m.x, m.y, m.w, m.h)
		}
	}
}

func textOf(marks []mark) string {
	var b bytes.Buffer
	for _, m := range marks {
		if m.kind == "text" {
			b.WriteString(m.text + " ")
		}
	}
	return oneSpace(b.String())
}
