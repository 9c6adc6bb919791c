package archive

import (
	"bytes"
	"encoding/json"
	"io"
	"slices"
	"strings"

	"forayhall/internal/fault"
)

// Pass is a command that answers rows with rows: it reads columns by name, writes its own, and carries every other
// input column through to the right.
type Pass struct {
	Required []string // input columns that must be there
	Optional []string // input columns that are read where they are there
	Output   []string // columns written, in order
	Numbers  []string // those of Output that are numbers in JSON, null where empty; the rest are texts
	// Row answers one input row with any number of output rows, each as wide as Output.
	Row func(in Input) ([][]string, error)
}

// Form is how a Pass writes.
type Form int

const (
	AsCSV Form = iota
	AsJSON
)

// Input is one input row of a Pass.
type Input struct {
	Line  int
	cells []string
	at    map[string]int
}

// Get is the trimmed cell of a Required or Optional column; "" where the column is not there.
func (in Input) Get(name string) string {
	i, ok := in.at[name]
	if !ok {
		return ""
	}
	return strings.TrimSpace(in.cells[i])
}

// Run writes nothing until every row was answered, so that a failure leaves no half output.
func (p Pass) Run(w io.Writer, t *Table, form Form) error {
	at, err := p.find(t)
	if err != nil {
		return err
	}
	header, carried := p.layout(t, at)
	var out [][]string
	for _, row := range t.Rows {
		if row.Surplus != nil {
			return surplusError(t, row)
		}
		rows, err := p.Row(Input{Line: row.Line, cells: row.Cells, at: at})
		if err != nil {
			return err
		}
		for _, r := range rows {
			out = append(out, p.join(r, row, carried))
		}
	}
	if form == AsJSON {
		return p.writeJSON(w, header, out)
	}
	return WriteCSV(w, header, out, Raw)
}

func surplusError(t *Table, row Row) error {
	return fault.New(fault.Invalid, "archive.surplus-in", "file", t.Name, "line", row.Line,
		"columns", len(t.Header), "value", row.Surplus[0])
}

func (p Pass) find(t *Table) (map[string]int, error) {
	at := map[string]int{}
	for _, name := range p.Required {
		i, ok := t.Column(name)
		if !ok {
			return nil, missingColumn(t, name)
		}
		at[name] = i
	}
	for _, name := range p.Optional {
		if i, ok := t.Column(name); ok {
			at[name] = i
		}
	}
	return at, nil
}

func missingColumn(t *Table, name string) error {
	return fault.New(fault.Invalid, "archive.column-missing", "file", t.Name, "column", name,
		"found", strings.Join(t.Header, ", "))
}

// layout gives the header of the output and which input columns are carried: all but those that were read and are
// written again under the same name.
func (p Pass) layout(t *Table, at map[string]int) (header []string, carried []int) {
	header = slices.Clone(p.Output)
	again := map[int]bool{}
	for name, i := range at {
		again[i] = slices.Contains(p.Output, name)
	}
	for i, name := range t.Header {
		if again[i] {
			continue
		}
		for slices.Contains(header, name) {
			name = "in_" + name
		}
		header = append(header, name)
		carried = append(carried, i)
	}
	return header, carried
}

func (p Pass) join(own []string, row Row, carried []int) []string {
	line := make([]string, len(p.Output), len(p.Output)+len(carried))
	copy(line, own)
	for _, i := range carried {
		line = append(line, row.Cells[i])
	}
	return line
}

// writeJSON keeps the columns in order, which a map would not.
func (p Pass) writeJSON(w io.Writer, header []string, rows [][]string) error {
	var b bytes.Buffer
	b.WriteByte('[')
	for i, row := range rows {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteString("\n{")
		for j, cell := range row {
			if j > 0 {
				b.WriteByte(',')
			}
			number := j < len(p.Output) && slices.Contains(p.Numbers, header[j])
			if err := writeField(&b, header[j], cell, number); err != nil {
				return err
			}
		}
		b.WriteByte('}')
	}
	b.WriteString("\n]\n")
	_, err := w.Write(b.Bytes())
	return err
}

func writeField(b *bytes.Buffer, name, cell string, number bool) error {
	var value any = cell
	if number {
		value = nil
		if cell != "" {
			value = json.Number(cell)
		}
	}
	for i, v := range []any{name, value} {
		enc, err := marshalPlain(v)
		if err != nil {
			return err
		}
		if i == 1 {
			b.WriteByte(':')
		}
		b.Write(enc)
	}
	return nil
}

// marshalPlain is JSON without the escapes for HTML, on one line without its end.
func marshalPlain(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), nil
}
