package knowledge

import (
	"fmt"
	"io/fs"
	"strconv"
	"strings"

	"forayhall/internal/hazard"
	"forayhall/internal/taxon"
)

const (
	syndromesFile  = "syndromes.csv"
	hazardsFile    = "hazards.csv"
	lookalikesFile = "lookalikes.csv"
	groupsFile     = "groups.csv"
)

// HazardTables are the tables of hazards as they stand in the files.
type HazardTables struct {
	Syndromes []hazard.Syndrome
	Rows      []hazard.Row
	Pairs     []hazard.Pair
	Groups    []hazard.Group
}

// ReadHazards reads syndromes.csv, hazards.csv, lookalikes.csv and groups.csv.
func ReadHazards(files fs.FS) (HazardTables, error) {
	var t HazardTables
	for _, read := range []func(fs.FS) error{t.readSyndromes, t.readRows, t.readPairs, t.readGroups} {
		if err := read(files); err != nil {
			return HazardTables{}, err
		}
	}
	return t, nil
}

// Base joins the tables with an index of names.
func (t HazardTables) Base(names hazard.Names) (*hazard.Base, error) {
	base, err := hazard.NewBase(names, t.Syndromes, t.Rows, t.Pairs, t.Groups)
	if err != nil {
		return nil, fmt.Errorf("tables of hazards: %w", err)
	}
	return base, nil
}

var syndromeColumns = []string{"key", "name", "plain", "toxin", "onset_min_h", "onset_max_h", "counted_from", "organs",
	"severity", "severity_reason", "source"}

func (t *HazardTables) readSyndromes(files fs.FS) error {
	var n numbers
	err := eachRow(files, syndromesFile, syndromeColumns, func(line int, cell func(string) string) {
		n.at(syndromesFile, line)
		t.Syndromes = append(t.Syndromes, hazard.Syndrome{
			Key: cell("key"), Name: cell("name"), Plain: cell("plain"), Toxin: cell("toxin"),
			OnsetMin: n.hours(cell("onset_min_h")), OnsetMax: n.hours(cell("onset_max_h")),
			CountedFrom: cell("counted_from"), Organs: cell("organs"), Severity: n.whole(cell("severity")),
			SeverityWhy: cell("severity_reason"), Source: cell("source"),
		})
	})
	return n.or(err)
}

var hazardColumns = []string{"taxon", "rank", "scope", "syndrome", "exposure", "region", "former_names", "evidence",
	"source", "note"}

func (t *HazardTables) readRows(files fs.FS) error {
	return eachRow(files, hazardsFile, hazardColumns, func(_ int, cell func(string) string) {
		t.Rows = append(t.Rows, hazard.Row{
			Taxon: cell("taxon"), Rank: taxon.Rank(cell("rank")), Scope: hazard.Scope(cell("scope")),
			Syndrome: cell("syndrome"), Exposure: hazard.Exposure(cell("exposure")), Region: cell("region"),
			Former: list(cell("former_names")), Evidence: cell("evidence"), Source: cell("source"), Note: cell("note"),
		})
	})
}

var pairColumns = []string{"gathered", "poisonous", "region", "differences", "source"}

func (t *HazardTables) readPairs(files fs.FS) error {
	return eachRow(files, lookalikesFile, pairColumns, func(_ int, cell func(string) string) {
		t.Pairs = append(t.Pairs, hazard.Pair{Gathered: cell("gathered"), Poisonous: cell("poisonous"),
			Region: cell("region"), Differences: cell("differences"), Source: cell("source")})
	})
}

var groupColumns = []string{"key", "name", "spoils_h", "members", "source"}

func (t *HazardTables) readGroups(files fs.FS) error {
	var n numbers
	err := eachRow(files, groupsFile, groupColumns, func(line int, cell func(string) string) {
		n.at(groupsFile, line)
		t.Groups = append(t.Groups, hazard.Group{Key: cell("key"), Name: cell("name"),
			SpoilsH: n.whole(cell("spoils_h")), Members: list(cell("members")), Source: cell("source")})
	})
	return n.or(err)
}

// list reads what stands between semicolons.
func list(cell string) []string {
	var parts []string
	for part := range strings.SplitSeq(cell, ";") {
		if part = strings.TrimSpace(part); part != "" {
			parts = append(parts, part)
		}
	}
	return parts
}

// numbers reads numbers and keeps the first that is none.
type numbers struct {
	where string
	err   error
}

func (n *numbers) at(file string, line int) { n.where = fmt.Sprintf("%s: line %d", file, line) }

func (n *numbers) or(err error) error {
	if err != nil {
		return err
	}
	return n.err
}

func (n *numbers) whole(cell string) int {
	v, err := strconv.Atoi(cell)
	n.keep(err)
	return v
}

// hours is nil for an empty cell: an onset that is not established is not guessed.
func (n *numbers) hours(cell string) *float64 {
	if cell == "" {
		return nil
	}
	v, err := strconv.ParseFloat(cell, 64)
	n.keep(err)
	return &v
}

func (n *numbers) keep(err error) {
	if n.err == nil && err != nil {
		n.err = fmt.Errorf("%s: %w", n.where, err)
	}
}
