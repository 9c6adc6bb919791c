package taxon

import "sort"

// at gives a name as a thing of its own, the same each time.
func (ix *Index) at(i id) *Name {
	if n := ix.made[i].Load(); n != nil {
		return n
	}
	ix.made[i].CompareAndSwap(nil, ix.make(i))
	return ix.made[i].Load()
}

func (ix *Index) make(i id) *Name {
	n := &Name{Key: ix.keyOf(i), Name: ix.str(ix.name[i]), Author: ix.authorOf(i), Rank: ix.rankOf(i), Reason: reasonWords[ix.reason[i]],
		Section: ix.str(ix.section[i]), Disputed: ix.str(ix.disputed[i]), Source: ix.str(ix.source[i])}
	current := ix.accepted[i]
	if current != i {
		n.Accepted, n.Section = ix.at(current), ix.str(ix.section[current])
	}
	for up := ix.above(current); up != none; up = ix.parent[up] {
		n.place(ix.rankOf(up), ix.str(ix.name[up]))
	}
	for c := ix.commonsOf(i); c < len(ix.commonOf) && ix.commonOf[c] == i; c++ {
		n.Common = append(n.Common, Common{Name: ix.str(ix.common[c]), Language: ix.str(ix.language[c]), Source: ix.str(ix.commonSource[c])})
	}
	return n
}

// above is where the classification of a current name begins: with the genus of a species, else with the name itself.
func (ix *Index) above(current id) id {
	if depth[ix.rankOf(current)] <= depth[Genus] {
		return current
	}
	return ix.find(ix.genusOf(current).word)
}

// commonsOf is the first common name of a name, or the next one's.
func (ix *Index) commonsOf(i id) int {
	return sort.Search(len(ix.commonOf), func(c int) bool { return ix.commonOf[c] >= i })
}

func (n *Name) place(rank Rank, name string) {
	switch rank {
	case Family:
		n.Family = name
	case Order:
		n.Order = name
	case Class:
		n.Class = name
	case Phylum:
		n.Phylum = name
	case Kingdom:
		n.Kingdom = name
	}
}
