package archive

import (
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"strings"

	"golang.org/x/text/encoding/htmlindex"
	"gopkg.in/yaml.v3"

	"forayhall/internal/fault"
)

// metaXML is the description of a Darwin Core archive (Darwin Core text guide, TDWG 2009, section 2).
type metaXML struct {
	Metadata   string     `xml:"metadata,attr"`
	Core       metaFile   `xml:"core"`
	Extensions []metaFile `xml:"extension"`
}

type metaFile struct {
	RowType   string      `xml:"rowType,attr"`
	Encoding  string      `xml:"encoding,attr"`
	Delimiter *string     `xml:"fieldsTerminatedBy,attr"`
	LineEnd   *string     `xml:"linesTerminatedBy,attr"`
	Quote     *string     `xml:"fieldsEnclosedBy,attr"`
	Skip      int         `xml:"ignoreHeaderLines,attr"`
	Files     []string    `xml:"files>location"`
	ID        *metaID     `xml:"id"`
	CoreID    *metaID     `xml:"coreid"`
	Fields    []metaField `xml:"field"`
}

type metaID struct {
	Index int `xml:"index,attr"`
}

type metaField struct {
	Index   *int   `xml:"index,attr"`
	Term    string `xml:"term,attr"`
	Default string `xml:"default,attr"`
}

func (b *bundle) readMeta(f bundleFile, m *meter) (metaXML, error) {
	var meta metaXML
	data, err := b.small(f, m)
	if err != nil {
		return meta, err
	}
	if err := readXML(data, &meta); err != nil {
		e := fault.New(fault.Invalid, "checklist.meta-unreadable", "file", b.name, "member", f.path)
		e.Cause = err
		return meta, e
	}
	return meta, nil
}

// readXML reads other encodings too. encoding/xml expands no entities of the document's own.
func readXML(data []byte, into any) error {
	d := xml.NewDecoder(strings.NewReader(string(data)))
	d.CharsetReader = func(label string, in io.Reader) (io.Reader, error) {
		enc, err := htmlindex.Get(label)
		if err != nil {
			return nil, err
		}
		return enc.NewDecoder().Reader(in), nil
	}
	return d.Decode(into)
}

// small reads a file that is read whole.
func (b *bundle) small(f bundleFile, m *meter) ([]byte, error) {
	if f.size > b.limits.about {
		return nil, b.tooLarge(f.path)
	}
	r, err := f.open()
	if err != nil {
		return nil, b.damaged(f.path, err)
	}
	defer r.Close()
	limit := &capped{from: m.silent(r), left: f.size}
	data, err := io.ReadAll(limit)
	switch {
	case err == nil:
		return data, nil
	case m.ctx.Err() != nil:
		return nil, m.ctx.Err()
	case limit.over:
		return nil, b.tooLarge(f.path)
	}
	return nil, b.damaged(f.path, err)
}

// form reads how rows are cut, with the standard's values where nothing is said.
func (f metaFile) form() (rowForm, bool) {
	delim, ok1 := sign(f.Delimiter, ",")
	quote, ok2 := sign(f.Quote, `"`)
	end, ok3 := sign(f.LineEnd, "\n")
	return rowForm{delim: delim, quote: quote, end: end}, ok1 && ok2 && ok3 && delim != 0
}

// sign reads one character, 0 for none; "\r\n" is known by its LF.
func sign(written *string, otherwise string) (byte, bool) {
	s := otherwise
	if written != nil {
		s = unescape(*written)
	}
	if s = strings.TrimPrefix(s, "\r\n"); s == "" && written != nil && len(*written) > 1 {
		return '\n', true
	}
	switch len(s) {
	case 0:
		return 0, true
	case 1:
		return s[0], true
	}
	return 0, false
}

// title is what a list is called by those who published it.
type title struct {
	Title, Version, Issued string
}

// source is how a name's row cites the list.
func (t title) source(fallback string) string {
	parts := []string{t.Title}
	if t.Title == "" {
		parts[0] = fallback
	}
	for _, more := range []string{t.Version, t.Issued} {
		if more != "" {
			parts = append(parts, more)
			break
		}
	}
	return strings.Join(parts, ", ")
}

// emlXML is the part of an EML document that names the data set (EML 2.1.1 and 2.2.0).
type emlXML struct {
	PackageID string   `xml:"packageId,attr"`
	Titles    []string `xml:"dataset>title"`
	PubDate   string   `xml:"dataset>pubDate"`
}

var emlVersion = regexp.MustCompile(`/v([0-9]+(?:\.[0-9]+)*)$`)

func readEML(data []byte) (t title, err error) {
	var eml emlXML
	if err := readXML(data, &eml); err != nil {
		return title{}, err
	}
	for i := len(eml.Titles) - 1; i >= 0; i-- {
		if one := oneLine(eml.Titles[i]); one != "" {
			t.Title = one
		}
	}
	if found := emlVersion.FindStringSubmatch(strings.TrimSpace(eml.PackageID)); found != nil {
		t.Version = found[1]
	}
	t.Issued = oneLine(eml.PubDate)
	if len(t.Issued) > len("2006-01-02") {
		t.Issued = t.Issued[:len("2006-01-02")]
	}
	if t.Title == "" {
		return t, errors.New("archive: EML without a title")
	}
	return t, nil
}

// readYAMLTitle reads metadata.yaml of a Catalogue of Life data package.
func readYAMLTitle(data []byte) (title, error) {
	var about struct {
		Title   string    `yaml:"title"`
		Version yaml.Node `yaml:"version"`
		Issued  yaml.Node `yaml:"issued"`
	}
	if err := readYAML(data, &about); err != nil {
		return title{}, err
	}
	return title{oneLine(about.Title), oneLine(about.Version.Value), oneLine(about.Issued.Value)}, nil
}

// readYAML turns a panic of the library, which reads hostile text, into an error.
func readYAML(data []byte, into any) (err error) {
	defer func() {
		if recover() != nil {
			err = errors.New("archive: YAML cannot be read")
		}
	}()
	return yaml.Unmarshal(data, into)
}

// longestTitle keeps a whole abstract from becoming the source of half a million rows.
const longestTitle = 200

func oneLine(s string) string {
	s = strings.ToValidUTF8(strings.Join(strings.Fields(s), " "), "")
	if cut := []rune(s); len(cut) > longestTitle {
		return string(cut[:longestTitle]) + "…"
	}
	return s
}
