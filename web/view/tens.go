package view

import (
	"strconv"

	"forayhall/internal/message"
)

// Tens is finds by ten days of the year: three parts a month, the third of them what is left of it.
type Tens struct {
	Finds   [36]int
	Undated int
}

// Any reports whether anything is known to the day.
func (t Tens) Any() bool { return t.most() > 0 }

func (t Tens) most() (most int) {
	for _, n := range t.Finds {
		most = max(most, n)
	}
	return most
}

const (
	tenWide   = 18 // units of the drawing
	tensHigh  = 120
	tensFoot  = 28
	tensWidth = 36 * tenWide
)

// tenBar is one bar of the strip.
type tenBar struct{ X, Y, Wide, High int }

func (t Tens) bars() (bars []tenBar) {
	most := t.most()
	for i, n := range t.Finds {
		if n > 0 {
			high := max(4, n*(tensHigh-10)/most)
			bars = append(bars, tenBar{i*tenWide + 1, tensHigh - high, tenWide - 2, high})
		}
	}
	return bars
}

// tenMonth is the place of a month below the strip.
type tenMonth struct {
	X, Middle int
	Name      message.Text
}

func (t Tens) months() (months []tenMonth) {
	for m := range 12 {
		months = append(months, tenMonth{m * 3 * tenWide, m*3*tenWide + 3*tenWide/2, T("society.month." + strconv.Itoa(m+1))})
	}
	return months
}

// tenRow is a line of the table beside the strip.
type tenRow struct {
	When  message.Text
	Finds int
}

func (t Tens) rows() (rows []tenRow) {
	for i, n := range t.Finds {
		if n > 0 {
			rows = append(rows, tenRow{T("society.ten."+strconv.Itoa(i%3), "month", T("date.month."+strconv.Itoa(i/3+1))), n})
		}
	}
	return rows
}
