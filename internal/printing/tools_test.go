package printing

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// tool finds a program that looks at PDFs as a reader would; without it the test is skipped, or failed when
// FORAYHALL_TEST_ALL is 1.
func tool(t testing.TB, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err == nil {
		return path
	}
	if os.Getenv("FORAYHALL_TEST_ALL") == "1" {
		t.Fatalf("%s is not installed", name)
	}
	t.Skipf("%s is not installed", name)
	return ""
}

func stored(t testing.TB, pdf []byte) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "paper.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

func output(t testing.TB, name string, args ...string) string {
	t.Helper()
	var failed bytes.Buffer
	cmd := exec.Command(name, args...)
	cmd.Stderr = &failed
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s", filepath.Base(name), args, err, failed.String())
	}
	return string(out)
}

// pagesOf are the texts of a PDF's pages as another program reads them, spaces made one.
func pagesOf(t testing.TB, pdf []byte) []string {
	t.Helper()
	text := output(t, tool(t, "pdftotext"), "-raw", "-enc", "UTF-8", stored(t, pdf), "-")
	pages := strings.Split(strings.TrimSuffix(text, "\f"), "\f")
	for i, page := range pages {
		pages[i] = oneSpace(page)
	}
	return pages
}

func oneSpace(s string) string { return strings.Join(strings.Fields(s), " ") }

const (
	printer  = 300 // dots an inch
	dotsAMM  = printer / 25.4
	pageZero = 1 // programs count pages from one
)

// scanned is what the codes say in a part of a page as a printer would put it on paper; millimetres.
func scanned(t testing.TB, file string, page int, x, y, w, h float64) []string {
	t.Helper()
	render, scan := tool(t, "pdftoppm"), tool(t, "zbarimg")
	picture := filepath.Join(t.TempDir(), "part")
	dots := func(mm float64) string { return strconv.Itoa(int(mm*dotsAMM + 0.5)) }
	number := strconv.Itoa(page + pageZero)
	output(t, render, "-r", strconv.Itoa(printer), "-gray", "-singlefile", "-f", number, "-l", number, "-x", dots(x), "-y", dots(y), "-W", dots(w), "-H", dots(h), file, picture)
	return strings.Fields(output(t, scan, "-q", "--raw", picture+".pgm"))
}
