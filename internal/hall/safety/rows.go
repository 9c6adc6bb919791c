package safety

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"forayhall/internal/archive"
	"forayhall/internal/hazard"
	"forayhall/internal/message"
)

var header = []string{"block", "severity", "severity_word", "name", "syndrome", "plain", "first_signs", "exposure", "number", "table", "state", "via",
	"entry", "out_of_region", "mistaken_for", "differences", "contested", "source"}

// WriteCSV writes the warning sheet as a table for people: a line for every name, syndrome and plate, so that it can be
// sorted by table. The block says why a line is there: here, wide, nameless, double or no entry.
func WriteCSV(w io.Writer, s hazard.Sheet, say message.Printer) error {
	if err := archive.WriteCSV(w, header, rows(s, say), archive.Formulas); err != nil {
		return fmt.Errorf("write the warning sheet: %w", err)
	}
	return nil
}

func rows(s hazard.Sheet, say message.Printer) [][]string {
	var rows [][]string
	for _, l := range s.Here {
		var mistaken, differences []string
		for _, d := range l.MistakenFor {
			mistaken, differences = append(mistaken, d.Other), append(differences, d.Other+": "+d.Differences)
		}
		rows = append(rows, findingRows("here", l.Taxon, l.Finding, l.Plates, say, strings.Join(mistaken, "; "), strings.Join(differences, " | "))...)
	}
	for _, l := range s.Wide {
		rows = append(rows, findingRows("wide", l.Name, l.Worst, l.Plates, say, "", "")...)
	}
	for _, p := range s.Nameless {
		rows = append(rows, blank("nameless", "", p, say))
	}
	for _, d := range s.Doubles {
		for _, p := range d.Plates {
			row := blank("double", d.Matched, p, say)
			row[1], row[2], row[4], row[14], row[15], row[17] = strconv.Itoa(d.Severity), say.Text(hazard.SeverityText(d.Severity)), d.Syndrome.Name,
				d.Other, d.Differences, d.Source
			rows = append(rows, row)
		}
	}
	for _, p := range s.NoEntry {
		rows = append(rows, blank("no entry", strings.Join(p.Names, " / "), p, say))
	}
	return rows
}

func findingRows(block, name string, f hazard.Finding, plates []hazard.Standing, say message.Printer, mistaken, differences string) [][]string {
	rows := make([][]string, len(plates))
	for i, p := range plates {
		row := blank(block, name, p, say)
		row[1], row[2], row[4], row[5] = strconv.Itoa(f.Severity), say.Text(hazard.SeverityText(f.Severity)), f.Syndrome.Name, f.Syndrome.Plain
		row[6], row[7] = say.Text(hazard.Onset(f.Syndrome)), say.Text(f.Entry.Exposure.Text())
		row[11], row[12], row[13] = string(f.Via), f.Entry.ID, yesNo(f.OutOfRegion)
		row[14], row[15], row[16], row[17] = mistaken, differences, contested(f.Contests), f.Entry.Source
		rows[i] = row
	}
	return rows
}

// blank is a row that says only where a plate stands.
func blank(block, name string, p hazard.Standing, say message.Printer) []string {
	row := make([]string, len(header))
	row[0], row[2], row[3], row[8], row[9], row[10] = block, say.Text(hazard.SeverityText(0)), name, p.Number, p.Table, say.Text(p.State.Text())
	return row
}

func yesNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}
