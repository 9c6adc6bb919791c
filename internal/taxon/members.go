package taxon

import (
	"slices"
)

// Members lists the accepted species of a genus, section or wider name, in the order of their keys. A species that
// ever stood in one of the genera through a former name belongs to them here: whoever writes the old genus may mean
// it. For a species it lists the species itself.
func (ix *Index) Members(name *Name) []*Name {
	i := ix.of(name)
	if i == none {
		return nil
	}
	found := map[id]bool{}
	switch ix.rankOf(i) {
	case Genus:
		ix.genusMembers(i, found)
	case Section:
		ix.sectionMembers(ix.accepted[i], found)
	case Family, Order, Class, Phylum, Kingdom:
		ix.widerMembers(ix.accepted[i], found)
	default:
		found[ix.accepted[i]] = true
	}
	return ix.inOrder(found)
}

func (ix *Index) inOrder(set map[id]bool) []*Name {
	ids := make([]id, 0, len(set))
	for i := range set {
		ids = append(ids, i)
	}
	slices.Sort(ids)
	list := make([]*Name, len(ids))
	for k, i := range ids {
		list[k] = ix.at(i)
	}
	return list
}

// genusMembers takes the genus itself, its current name, and every genus once merged into that.
func (ix *Index) genusMembers(i id, found map[id]bool) {
	current := ix.accepted[i]
	ix.wordMembers(i, found)
	ix.wordMembers(current, found)
	for _, former := range ix.formerOf(current) {
		ix.wordMembers(former, found)
	}
}

func (ix *Index) wordMembers(i id, found map[id]bool) {
	if ix.epithet[i] != 0 || ix.rankOf(i) == Section {
		return
	}
	if g := ix.byGenus[ix.genusOf(i).word]; g != nil {
		for s := g.first; s < g.end; s++ {
			if ix.rankOf(s) == Species {
				found[ix.accepted[s]] = true
			}
		}
	}
}

func (ix *Index) sectionMembers(section id, found map[id]bool) {
	g := ix.byGenus[ix.genusOf(section).word]
	if g == nil {
		return
	}
	own := Fold(Read(ix.str(ix.name[section])).Section)
	for s := g.first; s < g.end; s++ {
		if ix.rankOf(s) == Species && Fold(ix.str(ix.section[ix.accepted[s]])) == own {
			found[ix.accepted[s]] = true
		}
	}
}

func (ix *Index) widerMembers(wider id, found map[id]bool) {
	for k := range ix.genera {
		if name := ix.genera[k].name; name != none && ix.isBelow(name, wider) {
			ix.genusMembers(name, found)
		}
	}
}

// isBelow reports whether the classification of a genus leads through a wider name.
func (ix *Index) isBelow(genus, wider id) bool {
	for up := ix.above(ix.accepted[genus]); up != none; up = ix.parent[up] {
		if up == wider {
			return true
		}
	}
	return false
}
