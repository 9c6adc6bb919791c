package taxon

import (
	"slices"
	"strings"
)

// Members lists the accepted species of a genus, section or wider name, in the order of their keys. A species that
// ever stood in one of the genera through a former name belongs to them here: whoever writes the old genus may mean
// it. For a species it lists the species itself.
func (ix *Index) Members(name *Name) []*Name {
	found := map[*Name]bool{}
	switch name.Rank {
	case Genus:
		ix.genusMembers(name, found)
	case Section:
		ix.sectionMembers(name, found)
	case Family, Order, Class, Phylum, Kingdom:
		ix.widerMembers(name.Current(), found)
	default:
		found[name.Current()] = true
	}
	return inOrder(found)
}

func inOrder(set map[*Name]bool) []*Name {
	list := make([]*Name, 0, len(set))
	for n := range set {
		list = append(list, n)
	}
	slices.SortFunc(list, func(a, b *Name) int { return strings.Compare(a.Key, b.Key) })
	return list
}

// genusMembers takes the genus itself, its current name, and every genus once merged into that.
func (ix *Index) genusMembers(name *Name, found map[*Name]bool) {
	ix.wordMembers(name, found)
	ix.wordMembers(name.Current(), found)
	for _, former := range ix.former[name.Current()] {
		ix.wordMembers(former, found)
	}
}

func (ix *Index) wordMembers(name *Name, found map[*Name]bool) {
	if g := ix.byGenus[name.Key]; g != nil {
		for _, e := range g.species {
			found[e.Current()] = true
		}
	}
}

func (ix *Index) sectionMembers(name *Name, found map[*Name]bool) {
	w := Read(name.Current().Name)
	g := ix.byGenus[Key(w.Genus)]
	if g == nil {
		return
	}
	for _, e := range g.species {
		if Fold(e.Section) == Fold(w.Section) {
			found[e.Current()] = true
		}
	}
}

func (ix *Index) widerMembers(name *Name, found map[*Name]bool) {
	for _, g := range ix.genera {
		if g.name != nil && g.name.isBelow(name) {
			ix.genusMembers(g.name.Name, found)
		}
	}
}

func (n *Name) isBelow(wider *Name) bool {
	switch wider.Rank {
	case Family:
		return n.Family == wider.Name
	case Order:
		return n.Order == wider.Name
	case Class:
		return n.Class == wider.Name
	case Phylum:
		return n.Phylum == wider.Name
	case Kingdom:
		return n.Kingdom == wider.Name
	}
	return false
}
