package booklet_test

import (
	"bytes"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/hall/booklet"
	"forayhall/internal/hall/list"
	"forayhall/internal/printing"
)

func TestLookAtAll(t *testing.T) {
	eachDemo(t, func(t *testing.T, d played) {
		for _, code := range []string{"HB25", "HB26"} {
			a := d.at(t, code)
			for _, size := range []printing.Size{printing.A4, printing.Letter} {
				in := d.chosen(t, a, size)
				begun := time.Now()
				pdf := d.pdf(t, a, in)
				t.Log(code, size, len(pdf), time.Since(begun))
			}
			in := d.chosen(t, a, printing.A4)
			text, err := booklet.Newsletter(t.Context(), d.Hall, access.Nobody, a.Scope, in)
			if err != nil {
				t.Fatal(err)
			}
			keep(t, code+"-newsletter.txt", []byte(text))
			var b bytes.Buffer
			begun := time.Now()
			if err := booklet.WriteWorkbook(t.Context(), d.Hall, access.Nobody, a.Scope, in, &b); err != nil {
				t.Fatal(err)
			}
			t.Log(time.Since(begun), b.Len())
			keep(t, code+".xlsx", b.Bytes())
			keep(t, code+".csv", in.List.CSV)
			m := d.machine(t, a)
			p, err := list.AtSite(t.Context(), d.Hall, m, a.Scope, "HW")
			if err != nil {
				t.Fatal(err)
			}
			in.List = p
			site := booklet.ForSite{In: in, Site: "HW"}
			text, err = booklet.LetterText(t.Context(), d.Hall, m, a.Scope, site)
			if err != nil {
				t.Fatal(err)
			}
			keep(t, code+"-letter.txt", []byte(text))
			b.Reset()
			if err := booklet.WriteLetter(t.Context(), d.Hall, m, a.Scope, site, &b); err != nil {
				t.Fatal(err)
			}
			keep(t, code+"-letter.pdf", b.Bytes())
		}
	})
}
