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
	Names    *taxon.Index
	Hazards  *hazard.Base
	Groups   []hazard.Group // in the order of their file, which is the order of the picture on the desk
	Revision string
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
	base, err := tables.Base(names)
	if err != nil {
		return nil, err
	}
	revision, err := revisionOf(files, names.Revision())
	if err != nil {
		return nil, err
	}
	return &Snapshot{Names: names, Hazards: base, Groups: tables.Groups, Revision: revision}, nil
}

// revisionOf changes when a byte of a hazard table or anything in the list of names does.
func revisionOf(files fs.FS, names string) (string, error) {
	sum := sha256.New()
	fmt.Fprintln(sum, names)
	for _, file := range []string{syndromesFile, hazardsFile, lookalikesFile, groupsFile} {
		data, err := fs.ReadFile(files, file)
		if err != nil {
			return "", fmt.Errorf("read %s: %w", file, err)
		}
		fmt.Fprintf(sum, "%s %d\n", file, len(data))
		sum.Write(data)
	}
	return hex.EncodeToString(sum.Sum(nil))[:12], nil
}
