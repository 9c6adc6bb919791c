package archive

import (
	"errors"
	"strings"

	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

// errEnough ends a reading that has what it wanted.
var errEnough = errors.New("archive: enough")

// namesTaxa says whether a file has a column that a name can be taken from.
func (c *columnSet) namesTaxa() bool {
	for _, i := range []int{colName, colUninomial, colEpithet, colGenericName, colGenus, colFamily} {
		if c[i].at >= 0 {
			return true
		}
	}
	return false
}

// pointByName says whether rows may point to others with their names in place of their ids.
func (c *columnSet) pointByName() bool { return c[colAccepted].at >= 0 || c[colParent].at >= 0 }

// likeHeader says whether a row holds the names of columns: at least two of them, where they stand.
func (c *columnSet) likeHeader(cells []string) bool {
	alike := 0
	for i, name := range columnNames {
		if c[i].at < 0 || c[i].at >= len(cells) {
			continue
		}
		for _, word := range checklistWords["column"][name] {
			if foldTerm(strings.TrimSpace(cells[c[i].at])) == word {
				alike++
				break
			}
		}
	}
	return alike >= 2
}

func readsAsName(s string) bool {
	return startsCapital(s) && taxon.Read(s).Rank != ""
}

// eachUsage reads the files of a list one after the other.
func eachUsage(files []*dataFile, m *meter) func(func(*usage) error) error {
	return func(fn func(*usage) error) error {
		for _, d := range files {
			if err := d.each(m, func(line int, cells []string) error { return fn(d.usage(line, cells)) }); err != nil {
				return err
			}
		}
		return nil
	}
}

func (d *dataFile) usage(line int, cells []string) *usage {
	get := func(column int) string { return d.columns[column].of(cells) }
	u := &usage{file: d, line: line, id: get(colID), name: get(colName), author: get(colAuthor), rank: get(colRank),
		status: get(colStatus), acceptedID: get(colAcceptedID), accepted: get(colAccepted), parentID: get(colParentID),
		parent: get(colParent), uninomial: get(colUninomial), genericName: get(colGenericName), genus: get(colGenus),
		infragenus: get(colInfragenus), epithet: get(colEpithet), infra: get(colInfra), cultivar: get(colCultivar),
		notho: get(colNotho), common: get(colCommon), provisional: isTrue(get(colProvisional))}
	for i := range u.wider {
		u.wider[i] = get(colKingdom + i)
	}
	if u.author == "" {
		u.author = d.columns.builtAuthor(cells)
	}
	u.refused = d.misshapen(cells)
	return u
}

func isTrue(word string) bool {
	switch strings.ToLower(word) {
	case "true", "t", "1", "yes":
		return true
	}
	return false
}

// builtAuthor puts an author citation together from its parts (Catalogue of Life data package 1.1).
func (c *columnSet) builtAuthor(cells []string) string {
	author := part(c[colCombinationEx].of(cells), c[colCombination].of(cells))
	if basionym := part(c[colBasionymEx].of(cells), c[colBasionym].of(cells)); basionym != "" {
		author = "(" + basionym + ") " + author
	}
	return strings.TrimSpace(author)
}

func part(ex, authors string) string {
	if authors == "" {
		return ""
	}
	if ex != "" {
		authors = ex + " ex " + authors
	}
	return strings.ReplaceAll(authors, "|", " & ")
}

// misshapen finds rows whose cells do not stand under their columns.
func (d *dataFile) misshapen(cells []string) message.Text {
	switch {
	case len(cells) < d.width:
		return message.T("checklist.refused-short", "n", len(cells), "columns", d.width)
	case d.surplus > 0 && filled(cells) > d.surplus:
		return message.T("checklist.refused-long", "columns", d.surplus, "value", shorten(cells[filled(cells)-1]))
	}
	return message.Text{}
}

// eachVernacular reads files of common names; of is the column with the id of what is named.
func eachVernacular(files []*dataFile, m *meter, of int) func(func(*vernacular) error) error {
	return func(fn func(*vernacular) error) error {
		for _, d := range files {
			err := d.each(m, func(line int, cells []string) error {
				return fn(&vernacular{file: d.name, line: line, id: d.columns[of].of(cells), name: d.columns[colCommon].of(cells),
					language: d.columns[colLanguage].of(cells), refused: d.misshapen(cells)})
			})
			if err != nil {
				return err
			}
		}
		return nil
	}
}
