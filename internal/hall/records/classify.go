package records

import (
	"strings"

	"forayhall/internal/foray"
	"forayhall/internal/taxon"
)

// classify gives the current name of what was determined. Where two names stand against each other it is the
// narrowest taxon that holds both. ok is false where no taxon was named.
func (x *exporter) classify(r record, names []foray.SlipName) bool {
	if len(names) > 1 {
		return x.classifyBoth(r, names)
	}
	n := names[0]
	current := x.hall.Current(n)
	switch {
	case n.NameRank == string(taxon.Form):
		return false
	case current == nil:
		r["scientificName"], r["scientificNameAuthorship"], r["taxonRank"] = n.Name, n.Author, n.NameRank
	default:
		r["scientificName"], r["scientificNameAuthorship"], r["taxonRank"] = current.Name, current.Author, string(current.Rank)
		r["kingdom"], r["phylum"], r["class"], r["order"], r["family"] = current.Kingdom, current.Phylum, current.Class, current.Order, current.Family
		r["genus"] = genusOf(current)
	}
	r["identificationQualifier"] = qualified(n)
	return true
}

// qualified writes a doubt as Darwin Core's examples do: before the part of the name that it concerns.
func qualified(n foray.SlipName) string {
	if n.Qualifier != string(taxon.Confer) && n.Qualifier != string(taxon.Affinis) {
		return n.Qualifier
	}
	if _, rest, ok := strings.Cut(n.Name, " "); ok && n.Position != string(taxon.Genus) {
		return n.Qualifier + " " + rest
	}
	return n.Qualifier + " " + n.Name
}

func (x *exporter) classifyBoth(r record, names []foray.SlipName) bool {
	var shared []string
	for i, n := range names {
		chain := x.chain(n)
		if i == 0 {
			shared = chain
		}
		for rank := range shared {
			if chain[rank] != shared[rank] {
				shared[rank] = ""
			}
		}
	}
	for i, rank := range chainRanks {
		r[string(rank)] = shared[i]
		if shared[i] != "" {
			r["scientificName"], r["taxonRank"] = shared[i], string(rank)
		}
	}
	return r["scientificName"] != ""
}

var chainRanks = []taxon.Rank{taxon.Kingdom, taxon.Phylum, taxon.Class, taxon.Order, taxon.Family, taxon.Genus}

func (x *exporter) chain(n foray.SlipName) []string {
	current := x.hall.Current(n)
	if current == nil {
		return make([]string, len(chainRanks))
	}
	return []string{current.Kingdom, current.Phylum, current.Class, current.Order, current.Family, genusOf(current)}
}

// genusOf is the genus that a name stands in; empty for a wider one.
func genusOf(n *taxon.Name) string {
	if w := taxon.Read(n.Name); w.Epithet != "" || n.Rank == taxon.Genus {
		return w.Genus
	}
	return ""
}
