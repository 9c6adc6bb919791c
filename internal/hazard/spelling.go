package hazard

import (
	"math/bits"
	"slices"
	"strings"

	"forayhall/internal/taxon"
)

// maxEdits is how far from a hazardous name a warning still fires; a list refuses far less.
const maxEdits = 2

// shortest is the length from which a single word is compared with maxEdits; below it one edit, or every short
// genus would be every other.
const shortest = 6

// loose is a hazardous name as bare letters, so that a lost or added blank is an edit like any other.
type loose struct {
	letters string
	key     string
	set     uint32
	word    bool // a single word: a genus or wider
}

func loosen(spelt map[string]string) []loose {
	all := make([]loose, 0, len(spelt))
	for key := range spelt {
		letters := bare(key)
		all = append(all, loose{letters, key, letterSet(letters), !strings.Contains(key, " ")})
	}
	slices.SortFunc(all, func(a, b loose) int { return strings.Compare(a.key, b.key) })
	return all
}

func bare(s string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r > 127 {
			return r
		}
		return -1
	}, taxon.Fold(s))
}

// letterSet marks which letters occur: an edit changes at most two marks, which rules most names out cheaply.
func letterSet(s string) (set uint32) {
	for i := 0; i < len(s); i++ {
		set |= 1 << (s[i] & 31)
	}
	return set
}

// near lists the keys of hazardous names within maxEdits of what was written, read in each way a slip of the pen
// leaves open. Single words are compared only with single words that no list knows.
func (b *Base) near(w taxon.Written) []string {
	var keys []string
	for _, text := range spellings(w) {
		keys = b.nearText(keys, text)
	}
	return keys
}

func spellings(w taxon.Written) []string {
	var texts []string
	for _, s := range []string{w.Canonical, w.Genus + " " + w.Epithet, w.Canonical + w.Author, w.Verbatim} {
		if text := bare(s); text != "" && !slices.Contains(texts, text) {
			texts = append(texts, text)
		}
	}
	return texts
}

func (b *Base) nearText(keys []string, text string) []string {
	set := letterSet(text)
	for i := range b.loose {
		l := &b.loose[i]
		if l.word || bits.OnesCount32(set^l.set) > 2*maxEdits {
			continue
		}
		if within(text, l.letters, maxEdits) && !slices.Contains(keys, l.key) {
			keys = append(keys, l.key)
		}
	}
	return keys
}

// nearShort lists the hazardous names that an abbreviated genus and an epithet, rightly spelt or not, could be.
func (b *Base) nearShort(w taxon.Written) []string {
	start, short := strings.CutSuffix(taxon.Key(w.Genus), ".")
	if !short || w.Epithet == "" {
		return nil
	}
	epithet, edits := taxon.Key(w.Epithet), maxEdits
	if len(epithet) < shortest {
		edits = 1
	}
	var keys []string
	for i := range b.loose {
		key := b.loose[i].key
		_, rest, _ := strings.Cut(key, " ")
		if rest != "" && strings.HasPrefix(key, start) && within(epithet, rest, edits) {
			keys = append(keys, key)
		}
	}
	return keys
}

// nearGenera lists the genera (or wider names) with hazards that a word in no list could be a misspelling of.
func (b *Base) nearGenera(word string) []string {
	key := taxon.Key(word)
	if key == "" || strings.HasSuffix(word, ".") || b.isWord(key) {
		return nil
	}
	edits := maxEdits
	if len(key) < shortest {
		edits = 1
	}
	var keys []string
	for genus := range b.genera {
		if within(key, genus, edits) {
			keys = append(keys, genus)
		}
	}
	for i := range b.loose {
		l := &b.loose[i]
		if l.word && !slices.Contains(keys, l.key) && within(key, l.letters, edits) {
			keys = append(keys, l.key)
		}
	}
	slices.Sort(keys)
	return keys
}

// isWord says whether a single name is known as it stands.
func (b *Base) isWord(key string) bool {
	return b.names.Listed(key) || b.genera[key] != nil || b.byKey[key] != nil || b.higher[key] != nil ||
		b.under != nil && b.under.isWord(key)
}
