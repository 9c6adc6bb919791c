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
	signsFile      = "signs.csv"
	gatheredFile   = "gathered.csv"
)

// tables reads the tables of hazards one after the other.
type tables struct{ hazard.Tables }

// ReadHazards reads syndromes.csv, hazards.csv, lookalikes.csv, groups.csv, signs.csv and gathered.csv.
func ReadHazards(files fs.FS) (hazard.Tables, error) {
	var t tables
	for _, read := range []func(fs.FS) error{t.readSyndromes, t.readRows, t.readPairs, t.readGroups, t.readSigns, t.readGathered} {
		if err := read(files); err != nil {
			return hazard.Tables{}, err
		}
	}
	return t.Tables, nil
}

var syndromeColumns = []string{"key", "name", "plain", "toxin", "onset_min_h", "onset_max_h", "counted_from", "organs",
	"severity", "severity_reason", "source"}

func (t *tables) readSyndromes(files fs.FS) error {
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

func (t *tables) readRows(files fs.FS) error {
	return eachRow(files, hazardsFile, hazardColumns, func(_ int, cell func(string) string) {
		t.Rows = append(t.Rows, hazard.Row{
			Taxon: cell("taxon"), Rank: taxon.Rank(cell("rank")), Scope: hazard.Scope(cell("scope")),
			Syndrome: cell("syndrome"), Exposure: hazard.Exposure(cell("exposure")), Region: cell("region"),
			Former: list(cell("former_names")), Evidence: cell("evidence"), Source: cell("source"), Note: cell("note"),
		})
	})
}

var pairColumns = []string{"gathered", "poisonous", "region", "differences", "source"}

func (t *tables) readPairs(files fs.FS) error {
	return eachRow(files, lookalikesFile, pairColumns, func(_ int, cell func(string) string) {
		t.Pairs = append(t.Pairs, hazard.Pair{Gathered: cell("gathered"), Poisonous: cell("poisonous"),
			Region: cell("region"), Differences: cell("differences"), Source: cell("source")})
	})
}

var groupColumns = []string{"key", "name", "spoils_h", "members", "source"}

func (t *tables) readGroups(files fs.FS) error {
	var n numbers
	err := eachRow(files, groupsFile, groupColumns, func(line int, cell func(string) string) {
		n.at(groupsFile, line)
		t.Groups = append(t.Groups, hazard.Group{Key: cell("key"), Name: cell("name"),
			SpoilsH: n.whole(cell("spoils_h")), Members: list(cell("members")), Source: cell("source")})
	})
	return n.or(err)
}

var signColumns = []string{"taxon", "key", "sign", "hidden_by", "source"}

func (t *tables) readSigns(files fs.FS) error {
	return eachRow(files, signsFile, signColumns, func(_ int, cell func(string) string) {
		t.Signs = append(t.Signs, hazard.Sign{Taxon: cell("taxon"), Key: cell("key"), Text: cell("sign"), HiddenBy: cell("hidden_by"),
			Source: cell("source")})
	})
}

var gatheredColumns = []string{"taxon", "region", "none_known", "source"}

func (t *tables) readGathered(files fs.FS) error {
	return eachRow(files, gatheredFile, gatheredColumns, func(_ int, cell func(string) string) {
		t.Gathered = append(t.Gathered, hazard.Gathering{Taxon: cell("taxon"), Region: cell("region"), NoneKnown: cell("none_known"),
			Source: cell("source")})
	})
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
