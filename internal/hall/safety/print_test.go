package safety_test

import (
	"bytes"
	"os/exec"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/safety"
	"forayhall/internal/message"
	"forayhall/internal/printing"
)

// Would catch a sheet on paper that lacks what tells a deadly fungus, or the place where it stands.
func TestPrintedSheet_says_what_to_look_for_on_what_can_kill(t *testing.T) {
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext is not installed")
	}
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := logged(t, g, 17, "parasol")
		suggest(t, g, g.As[access.Identifier], c, "Amanita phalloides")
		var pdf, text bytes.Buffer
		in := safety.Print{Paper: printing.Paper{Size: printing.A4, Say: message.For(message.English)}}
		if err := safety.PrintSheet(ctx, g.Hall, access.Nobody, g.Scope, in, &pdf); err != nil {
			t.Fatal(err)
		}
		read := exec.Command(reader, "-raw", "-", "-")
		read.Stdin, read.Stdout = &pdf, &text
		if err := read.Run(); err != nil {
			t.Fatal(err)
		}
		said := strings.Join(strings.Fields(text.String()), " ")
		for _, want := range []string{"Deadly", "Amanita phalloides", "0017", "Look for:", g.Hall.Knowledge.Hazards.Signs("Amanita phalloides")[0].Text} {
			if !strings.Contains(said, want) {
				t.Errorf("the sheet does not say %q", want)
			}
		}
	})
}
