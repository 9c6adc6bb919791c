package taxon

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"slices"
	"strings"
)

func (ix *Index) addNames(rows []Row, wrong *faults) {
	for i, row := range rows {
		if row.Line == 0 {
			row.Line = i + 1
		}
		if problem := row.fault(); problem != "" {
			wrong.add(row.Line, row.Name, "%s", problem)
			continue
		}
		e := newEntry(row)
		if other := ix.byKey[e.Key]; other != nil {
			wrong.add(row.Line, row.Name, "the name stands already in line %d", other.row.Line)
			continue
		}
		ix.byKey[e.Key] = e
		ix.entries = append(ix.entries, e)
	}
}

func newEntry(row Row) *entry {
	w := Read(row.Name)
	e := &entry{row: row, Name: &Name{
		Key: Key(row.Name), Name: row.Name, Author: row.Author, Rank: row.Rank, Section: row.Section,
		Disputed: row.Disputed, Source: row.Source,
	}}
	if row.Status == "former" {
		e.Reason = row.Reason
	}
	e.set = letterSet(e.Key)
	e.genus = genusForm(Key(w.Genus))
	e.epithet, e.infra = epithetForm(Key(w.Epithet)), epithetForm(Key(w.Infra))
	return e
}

// linkAccepted follows each former name to its end, since an accepted name may become former in its turn.
func (ix *Index) linkAccepted(wrong *faults) {
	for _, e := range ix.entries {
		if e.row.Status != "former" {
			continue
		}
		current, problem := ix.follow(e)
		if problem != "" {
			wrong.add(e.row.Line, e.Name.Name, "%s", problem)
			continue
		}
		e.Accepted = current.Name
	}
}

func (ix *Index) follow(e *entry) (*entry, string) {
	for range len(ix.entries) {
		next := ix.byKey[Key(e.row.Accepted)]
		switch {
		case next == nil:
			return nil, fmt.Sprintf("its accepted name %q is not in the list", e.row.Accepted)
		case next.row.Status == "accepted":
			return next, ""
		}
		e = next
	}
	return nil, "its accepted name leads back to itself"
}

func (ix *Index) linkParents(wrong *faults) {
	for _, e := range ix.entries {
		if problem := ix.parentFault(e); problem != "" {
			wrong.add(e.row.Line, e.Name.Name, "%s", problem)
		}
	}
	if len(*wrong) > 0 {
		return
	}
	for _, e := range ix.entries {
		ix.fillChain(e)
	}
}

func (ix *Index) parentFault(e *entry) string {
	if e.row.Parent == "" {
		return ""
	}
	parent := ix.byKey[Key(e.row.Parent)]
	switch {
	case parent == nil:
		return fmt.Sprintf("its parent %q is not in the list", e.row.Parent)
	case depth[parent.Rank] >= depth[e.Rank]:
		return fmt.Sprintf("its parent %q is no wider than itself", e.row.Parent)
	case parent.row.Status == "former":
		return fmt.Sprintf("its parent %q is a former name", e.row.Parent)
	}
	return ""
}

// fillChain gives a name the classification of its current name: a species has that of its genus.
func (ix *Index) fillChain(e *entry) {
	current := e
	if e.Accepted != nil {
		current = ix.byKey[e.Accepted.Key]
		e.Section = current.Section
	}
	up := current
	if depth[current.Rank] > depth[Genus] {
		up = ix.byKey[current.genus.word]
	}
	for ; up != nil; up = ix.byKey[Key(up.row.Parent)] {
		e.place(up.Name)
	}
}

func (e *entry) place(wider *Name) {
	switch wider.Rank {
	case Family:
		e.Family = wider.Name
	case Order:
		e.Order = wider.Name
	case Class:
		e.Class = wider.Name
	case Phylum:
		e.Phylum = wider.Name
	case Kingdom:
		e.Kingdom = wider.Name
	}
}

func (ix *Index) addCommons(rows []CommonRow, wrong *faults) {
	for i, row := range rows {
		if row.Line == 0 {
			row.Line = i + 1
		}
		e := ix.byKey[Key(row.Name)]
		word := letters(row.Common)
		switch {
		case word == "":
			wrong.addCommon(row.Line, row.Name, "the common name is missing")
		case strings.TrimSpace(row.Source) == "":
			wrong.addCommon(row.Line, row.Name, "the source is missing")
		case strings.TrimSpace(row.Language) == "":
			wrong.addCommon(row.Line, row.Name, "the language is missing")
		case e == nil:
			wrong.addCommon(row.Line, row.Name, "is not in the list of names")
		case slices.ContainsFunc(e.Common, func(c Common) bool { return c.Name == row.Common && c.Language == row.Language }):
			wrong.addCommon(row.Line, row.Name, "%q is given twice", row.Common)
		default:
			e.Common = append(e.Common, Common{Name: row.Common, Language: row.Language, Source: row.Source})
			if !slices.Contains(ix.common[word], e) {
				ix.common[word] = append(ix.common[word], e)
			}
		}
	}
}

// revisionOf hashes the content in an order of its own.
func revisionOf(names []Row, commons []CommonRow) string {
	lines := make([]string, 0, len(names)+len(commons))
	for _, r := range names {
		lines = append(lines, strings.Join([]string{"name", r.Name, r.Author, string(r.Rank), r.Status, r.Accepted,
			r.Parent, r.Section, r.Reason, r.Disputed, r.Source}, "\x1f"))
	}
	for _, r := range commons {
		lines = append(lines, strings.Join([]string{"common", r.Name, r.Common, r.Language, r.Source}, "\x1f"))
	}
	slices.Sort(lines)
	h := sha256.New()
	for _, l := range lines {
		writeLine(h, l)
	}
	return hex.EncodeToString(h.Sum(nil))[:16]
}

func writeLine(h hash.Hash, l string) {
	h.Write([]byte(l))
	h.Write([]byte{'\x1e'})
}
