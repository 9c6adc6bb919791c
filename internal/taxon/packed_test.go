package taxon

import (
	"bytes"
	"errors"
	"slices"
	"testing"
)

func fileOf(t testing.TB, ix *Index) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := ix.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestAnIndexFileAnswersAsTheIndexDoes(t *testing.T) {
	ix := small(t)
	again, err := Open(fileOf(t, ix))
	if err != nil {
		t.Fatal(err)
	}
	if again.Revision() != ix.Revision() || again.Len() != ix.Len() {
		t.Errorf("revision %s, %d names; want %s, %d", again.Revision(), again.Len(), ix.Revision(), ix.Len())
	}
	for n := range ix.All() {
		other, ok := again.Lookup(n.Key)
		if !ok || other.Name != n.Name || other.Author != n.Author || other.Current().Key != n.Current().Key || other.Family != n.Family ||
			other.Reason != n.Reason || !slices.Equal(other.Common, n.Common) {
			t.Errorf("%+v is read back as %+v", n, other)
		}
	}
	for _, s := range []string{"Amanitta faloides", "A. virosa", "death-cap", "Lepiota cristatus"} {
		if a, b := ix.Match(s), again.Match(s); a.How != b.How || a.Found.Key != b.Found.Key || a.Score != b.Score {
			t.Errorf("%s: %v, read back %v", s, a, b)
		}
	}
}

// Cut short, with a byte more, of another version, or anything else: refused, and nothing is asked of it.
func TestWhatIsNoIndexFileIsRefused(t *testing.T) {
	file := fileOf(t, small(t))
	for name, bad := range map[string][]byte{"nothing": nil, "text": []byte("name,author\n"), "another version": bytes.Replace(file, []byte("names 1"), []byte("names 9"), 1),
		"a byte more": append(bytes.Clone(file), 0), "half": file[:len(file)/2]} {
		if _, err := Open(bad); !errors.Is(err, ErrNotAnIndex) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for cut := len(heading); cut < len(file); cut += 97 {
		if _, err := Open(file[:cut]); err == nil {
			t.Errorf("cut at %d it is taken", cut)
		}
	}
}

// FuzzOpen: whatever is in a file, it is refused or answers, and never leads outside.
func FuzzOpen(f *testing.F) {
	file := fileOf(f, small(f))
	f.Add(file, 0, byte(0))
	for at := len(heading); at < len(file); at += 211 {
		f.Add(file, at, byte(255))
	}
	f.Fuzz(func(t *testing.T, file []byte, at int, to byte) {
		file = bytes.Clone(file)
		if at >= 0 && at < len(file) {
			file[at] = to
		}
		ix, err := Open(file)
		if err != nil {
			return
		}
		for n := range ix.All() {
			ix.Members(n)
			ix.FormerOf(n)
		}
		for _, s := range []string{"Amanitta faloides", "A. virosa", "death cap", "Amanita sect. Phalloideae", "Amanita muscaria formosa"} {
			ix.Match(s)
			ix.Suggest(s, 5)
			ix.Within(s, 2)
		}
	})
}

// Of two names that are spelt alike the author decides; without one it is left open.
func TestHomonymsAreToldApartByAuthor(t *testing.T) {
	rows := []Row{
		{Name: "Boletus edulis", Author: "Bull.", Rank: Species, Status: "accepted", Source: src},
		{Name: "Boletus luridus", Author: "Schaeff.", Rank: Species, Status: "accepted", Source: src},
		{Name: "Boletus elegans", Author: "Schumach.", Rank: Species, Status: "former", Accepted: "Boletus edulis", Reason: "merged", Source: src},
		{Name: "Boletus elegans", Author: "Bull.", Rank: Species, Status: "former", Accepted: "Boletus luridus", Reason: "merged", Source: src},
		{Name: "Boletus satanas", Author: "Lenz", Rank: Species, Status: "accepted", Source: src},
		{Name: "Boletus satanas", Author: "Someone", Rank: Species, Status: "former", Accepted: "Boletus satanas", AcceptedAuthor: "Lenz", Reason: "merged", Source: src},
	}
	ix, err := NewIndex(rows, nil)
	if err != nil {
		t.Fatal(err)
	}
	for written, want := range map[string]string{"Boletus elegans Schumach.": "Boletus edulis", "Boletus elegans Bull.": "Boletus luridus", "Boletus satanas Lenz": "Boletus satanas", "Boletus satanas": "Boletus satanas"} {
		if m := ix.Match(written); m.How != Same || m.Found.Current().Name != want {
			t.Errorf("%s: %s %v", written, m.How, m.Found)
		}
	}
	for _, written := range []string{"Boletus elegans", "Boletus elegans Fr."} {
		if m := ix.Match(written); m.How != Several || len(m.Candidates) != 2 {
			t.Errorf("%s: %s %v", written, m.How, m.Candidates)
		}
	}
	if n, ok := ix.LookupBy("boletus elegans", "Bull."); !ok || n.Current().Name != "Boletus luridus" {
		t.Errorf("by author: %v", n)
	}
	if _, err := NewIndex(append(rows, rows[0]), nil); err == nil {
		t.Error("the same name with the same author is taken twice")
	}
}
