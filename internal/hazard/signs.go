package hazard

import (
	"cmp"
	"fmt"
	"slices"

	"forayhall/internal/taxon"
)

// Deadly is the severity from which a sign-off asks for the signs that tell a fungus.
const Deadly = 4

// Sign is a character that tells a dangerous fungus and can be looked for on a plate.
type Sign struct {
	Taxon    string // species, section or genus; the nearest that has signs is asked
	Key      string // short, unique within the taxon: volva
	Text     string // in words that somebody at a table understands
	HiddenBy string // what hides it, as a cut stem hides a volva; empty where nothing does
	Source   string
}

// Suspect is a dangerous fungus that a plate may be, with the signs to look for.
type Suspect struct {
	Name     string // the poisonous one
	Double   bool   // it is what the asked name is mistaken for
	Rival    bool   // it is another name in question: whoever signs the asked one rules it out
	Wide     bool   // the asked name leaves open which species it is; this is the genus in which the danger lies
	Severity int
	Syndrome *Syndrome
	Signs    []Sign
}

// ID tells a sign among those of all suspects of a plate.
func (s Sign) ID() string { return taxon.Key(s.Taxon) + "/" + s.Key }

func (b *Base) takeSigns(signs []Sign) error {
	seen := map[string]bool{}
	for _, s := range signs {
		rank := taxon.Read(s.Taxon).Rank
		switch {
		case s.Source == "":
			return fmt.Errorf("sign %q of %q: has no source", s.Key, s.Taxon)
		case s.Key == "" || s.Text == "":
			return fmt.Errorf("sign %q of %q: has no key or no words", s.Key, s.Taxon)
		case rank != taxon.Species && rank != taxon.Section && rank != taxon.Genus:
			return fmt.Errorf("sign %q: %q does not read as a species, section or genus", s.Key, s.Taxon)
		case seen[s.ID()]:
			return fmt.Errorf("sign %q of %q: is there twice", s.Key, s.Taxon)
		}
		seen[s.ID()] = true
		key := taxon.Key(s.Taxon)
		b.signs[key] = append(b.signs[key], s)
	}
	return nil
}

// Signs lists the signs that tell a fungus: its own, else those of its section, else of its genus, under any name of it.
func (b *Base) Signs(name string) []Sign {
	keys := b.alike(taxon.Key(name))
	for _, k := range keys {
		if own := b.signs[k]; len(own) > 0 {
			return own
		}
	}
	for _, k := range keys {
		if n, ok := b.names.Lookup(k); ok {
			if own := b.signs[sectionKey(taxon.Read(n.Current().Name).Genus, n.Current().Section)]; len(own) > 0 {
				return own
			}
		}
	}
	for _, k := range keys {
		if own := b.signs[taxon.Key(taxon.Read(k).Genus)]; len(own) > 0 {
			return own
		}
	}
	return nil
}

// Suspects lists what of severity Deadly or more a name may be or is mistaken for: the fungus itself; for a name that
// leaves open which species it is, the genus in which the danger lies; its doubles where the mistake happens in the region,
// and those that are among the other names in question. Each comes once, the most dangerous first; one of which no sign is
// known is there without. Other names in question that are deadly themselves are suspects: signing this one rules them out.
func (b *Base) Suspects(written string, among []string, region string) []Suspect {
	var out []Suspect
	for _, f := range b.AssessIn(written, region) {
		switch {
		case f.Severity < Deadly || f.Wide && f.OutOfRegion:
		case f.Wide:
			out = b.suspect(out, Suspect{Name: taxon.Read(f.Entry.Taxon).Genus, Wide: true, Severity: f.Severity, Syndrome: f.Syndrome})
		default:
			out = b.suspect(out, Suspect{Name: f.Entry.Taxon, Severity: f.Severity, Syndrome: f.Syndrome})
		}
	}
	if taxon.Read(written).Epithet != "" {
		for _, d := range b.Doubles(written) {
			if d.Role == Gathered && d.Severity >= Deadly && (inRegion(d.Region, region) || b.isAmong(d.Other, among)) {
				out = b.suspect(out, Suspect{Name: d.Other, Double: true, Severity: d.Severity, Syndrome: d.Syndrome})
			}
		}
	}
	for _, other := range among {
		for _, f := range b.AssessIn(other, region) {
			if f.Severity >= Deadly && !f.Wide {
				out = b.suspect(out, Suspect{Name: f.Entry.Taxon, Rival: true, Severity: f.Severity, Syndrome: f.Syndrome})
			}
		}
	}
	slices.SortStableFunc(out, func(x, y Suspect) int { return cmp.Compare(y.Severity, x.Severity) })
	return out
}

func (b *Base) suspect(out []Suspect, s Suspect) []Suspect {
	if s.Name == "" || slices.ContainsFunc(out, func(x Suspect) bool { return x.Name == s.Name }) {
		return out
	}
	s.Signs = b.Signs(s.Name)
	return append(out, s)
}

func (b *Base) isAmong(name string, among []string) bool {
	keys := b.alike(taxon.Key(name))
	return slices.ContainsFunc(among, func(a string) bool { return slices.Contains(keys, taxon.Key(taxon.Read(a).Canonical)) })
}
