package knowledge

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"

	"forayhall/internal/hazard"
	"forayhall/internal/taxon"
)

// Snapshot is the knowledge at one time. Nothing in it changes; papers and list versions record its revision.
type Snapshot struct {
	Names    taxon.Names
	Hazards  *hazard.Base
	Groups   []hazard.Group // in the order of their file, which is the order of the picture on the desk
	Glossary Glossary
	Flags    []LawFlag
	Revision string

	shipped  *taxon.Index
	tables   hazard.Tables
	borrowed *borrowings
	without  string // the revision without a society's entries; empty: it has none
}

// Load reads the tables and joins them. It answers no part of the knowledge if any table is wrong.
func Load(files fs.FS) (*Snapshot, error) {
	names, err := ReadNames(files)
	if err != nil {
		return nil, err
	}
	tables, err := ReadHazards(files)
	if err != nil {
		return nil, err
	}
	base, err := hazard.NewBase(names, tables)
	if err != nil {
		return nil, err
	}
	glossary, err := ReadGlossary(files)
	if err != nil {
		return nil, err
	}
	flags, err := ReadFlags(files)
	if err != nil {
		return nil, err
	}
	revision, err := revisionOf(files, names.Revision())
	if err != nil {
		return nil, err
	}
	return &Snapshot{borrowed: &borrowings{}, Names: names, Hazards: base, Groups: tables.Groups, Glossary: glossary, Flags: flags,
		Revision: revision, shipped: names, tables: tables}, nil
}

// With is the knowledge of a society that follows a list of others' making, where several may be installed. The list that
// is followed (nil: the names that ship) decides what is current and how it is classified, and nothing else: hazards are
// found by every name that any of the lists joins to one, so that no choice of classification hides a warning.
func (s *Snapshot) With(followed *taxon.Index, installed ...*taxon.Index) (*Snapshot, error) {
	with := *s
	with.borrowed = &borrowings{}
	if followed != nil {
		with.Names = taxon.NewLists(followed, s.shipped)
	}
	var err error
	if with.Hazards, err = hazard.NewBase(widened{taxon.NewLists(s.shipped, installed...), s.shipped}, s.tables); err != nil {
		return nil, err
	}
	sum := sha256.New()
	fmt.Fprintln(sum, s.Revision, with.Names.Revision())
	for _, list := range installed {
		fmt.Fprintln(sum, list.Revision())
	}
	with.Revision = hex.EncodeToString(sum.Sum(nil))[:12]
	return &with, nil
}

// widened is the names that ship with what other lists join to them. Others only add: a name that ships is read as it is
// without them, and a name that does not is no known species for being in a list.
type widened struct {
	*taxon.Lists
	shipped *taxon.Index
}

// Listed reports whether a name ships.
func (w widened) Listed(key string) bool { return w.shipped.Listed(key) }

// Match reads as the names that ship do, and asks the others what those do not know.
func (w widened) Match(written string) taxon.Match {
	m := w.shipped.Match(written)
	if m.How == taxon.Nothing || m.How == taxon.GenusOnly {
		return w.Lists.Match(written)
	}
	return m
}

// revisionOf changes when a byte of a hazard table or anything in the list of names does.
func revisionOf(files fs.FS, names string) (string, error) {
	sum := sha256.New()
	fmt.Fprintln(sum, names)
	for _, file := range []string{syndromesFile, hazardsFile, lookalikesFile, groupsFile, signsFile, gatheredFile, flagsFile, glossaryFile} {
		data, err := fs.ReadFile(files, file)
		if err != nil {
			return "", fmt.Errorf("read %s: %w", file, err)
		}
		fmt.Fprintf(sum, "%s %d\n", file, len(data))
		sum.Write(data)
	}
	return hex.EncodeToString(sum.Sum(nil))[:12], nil
}
