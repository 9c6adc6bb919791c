package archive

import (
	"math"
	"testing"
	"time"
)

func TestReadNumber(t *testing.T) {
	tests := []struct{ written, code, want string }{
		{"HB26-0417", "HB26", "0417"}, {"HB26 0417", "HB26", "0417"}, {"hb26/417", "HB26", "0417"}, {"417", "HB26", "0417"},
		{"0417a", "HB26", "0417a"}, {" 417 ", "HB26", "0417"}, {"417 B", "HB26", "0417b"}, {"HB26–0417–a", "HB26", "0417a"},
		{"No. 417", "HB26", "0417"}, {"#417", "HB26", "0417"}, {"Nº 417", "HB26", "0417"}, {"number 417", "HB26", "0417"},
		{"417.0", "HB26", "0417"}, {"HB260417", "HB26", "0417"}, {"HB-26-0417", "HB26", "0417"}, {"NR7 12", "NR7", "0012"},
		{"0417\u00a0a", "HB26", "0417a"}, {"123456", "HB26", "123456"},
		{"", "HB26", "number-missing"}, {"HB25-0417", "HB26", "number-other-event"}, {"HB26-0417", "HB2", "number-other-event"},
		{"HB260417", "HB2", "number-unreadable"}, {"4l7", "HB26", "number-unreadable"}, {"417.5", "HB26", "number-unreadable"},
		{"12 13", "HB26", "number-unreadable"}, {"2024-10-12", "HB26", "number-unreadable"}, {"0", "HB26", "number-unreadable"},
		{"-5", "HB26", "number-unreadable"}, {"417ab", "HB26", "0417ab"}, {"417abc", "HB26", "number-unreadable"}, {"a", "HB26", "number-unreadable"}, {"HB26-", "HB26", "number-unreadable"},
		{"99999999999999999999", "HB26", "number-unreadable"},
	}
	for _, tt := range tests {
		n, reason := readNumber(tt.written, tt.code)
		got := n.String()
		if !reason.IsZero() {
			got = reason.Key[len("archive."):]
		}
		if got != tt.want {
			t.Errorf("%q in %s: %s, want %s", tt.written, tt.code, got, tt.want)
		}
	}
}

func TestReadDate(t *testing.T) {
	const bad, future, other = "date-bad", "date-future", "date-other-order"
	tests := []struct{ text, want, monthFirst string }{ // monthFirst is empty where the order does not matter
		{"2024-10-12", "2024-10-12", ""}, {"2024/10/12", "2024-10-12", ""}, {"20241012", "2024-10-12", ""},
		{"12.10.2024", "2024-10-12", ""}, {"12 Oct 2024", "2024-10-12", ""}, {"12-Oct-24", "2024-10-12", ""},
		{"Sat 12th October 2024", "2024-10-12", ""}, {"October 12, 2024", "2024-10-12", ""}, {"12 Sept 2024", "2024-09-12", ""},
		{"2024", "2024-01-01 2024-12-31", ""}, {"2024-02", "2024-02-01 2024-02-29", ""}, {"Oct 2024", "2024-10-01 2024-10-31", ""},
		{"10/2024", "2024-10-01 2024-10-31", ""}, {"12.10.98", "1998-10-12", ""}, {"12.10.24", "2024-10-12", ""},
		{"2024-10-12T15:40:00Z", "2024-10-12", ""}, {"12.10.2024 15:40", "2024-10-12", ""}, {"2024-10-12T23:30-05:00", "2024-10-12", ""},
		{"2024-10-12/2024-10-13", "2024-10-12 2024-10-13", ""}, {"2024-10-12/13", "2024-10-12 2024-10-13", ""},
		{"2024-10-12/11-02", "2024-10-12 2024-11-02", ""}, {"2024-10-12T10:00/12:30", "2024-10-12", ""},
		{"2024-10/2024-11", "2024-10-01 2024-11-30", ""}, {"2024-10-13/2024-10-12", bad, ""},
		{"12-10-2024/9-10-2024", bad, "2024-12-10 2024-09-10"},
		{"03/04/2024", "2024-04-03 ?", "2024-03-04 ?"}, {"04/04/2024", "2024-04-04", ""}, {"03.04.2024", "2024-04-03", ""},
		{"3-4-2024", "2024-04-03 ?", "2024-03-04 ?"}, {"13/10/2024", "2024-10-13", other}, {"10/13/2024", other, "2024-10-13"},
		{"31/09/2024", bad, bad}, {"29 Feb 2023", bad, ""}, {"0 Oct 2024", bad, ""}, {"yesterday", bad, ""}, {"0204", bad, ""},
		{"2024-13", bad, ""}, {"12 Foo 2024", bad, ""}, {"13.13.2024", bad, ""}, {"2025-03-02", future, ""}, {"2025", "2025-01-01 2025-12-31", ""},
	}
	for _, tt := range tests {
		if got := readAs(tt.text, false); got != tt.want {
			t.Errorf("%q, day first: %s, want %s", tt.text, got, tt.want)
		}
		want := tt.monthFirst
		if want == "" {
			want = tt.want
		}
		if want != "2024-12-10 2024-09-10" && readAs(tt.text, true) != want {
			t.Errorf("%q, month first: %s, want %s", tt.text, readAs(tt.text, true), want)
		}
	}
}

func readAs(text string, monthFirst bool) string {
	d, twoWays, reason := dateReader{monthFirst: monthFirst, today: date(2025, 3, 1)}.read(text)
	if !reason.IsZero() {
		return reason.Key[len("archive."):]
	}
	got := d.From.Format(time.DateOnly)
	if !d.To.Equal(d.From) {
		got += " " + d.To.Format(time.DateOnly)
	}
	if twoWays {
		got += " ?"
	}
	return got
}

func TestReadDegrees(t *testing.T) {
	tests := []struct {
		text string
		want float64
		ok   bool
	}{
		{"54.1234", 54.1234, true}, {"54,1234", 54.1234, true}, {"-1.5", -1.5, true}, {"−1.5", -1.5, true},
		{"54.5 N", 54.5, true}, {"S 54.5", -54.5, true}, {"54°30'N", 54.5, true}, {`54° 30' 36" S`, -54.51, true},
		{"54.5°", 54.5, true}, {"-0°30'", -0.5, true}, {"90", 90, true},
		{"90.1", 0, false}, {"54.5 E", 0, false}, {"N 54 N", 0, false}, {"-54 S", 0, false}, {"54°61'", 0, false},
		{"54.1, -1.5", 0, false}, {"SE 123 456", 0, false}, {"NaN", 0, false}, {"1e3", 0, false}, {"", 0, false},
	}
	for _, tt := range tests {
		got, ok := readDegrees(tt.text, "N", "S", 90)
		if ok != tt.ok || ok && math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("%q: %v, %v", tt.text, got, ok)
		}
	}
}
