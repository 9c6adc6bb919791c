package list

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/internal/tally"
)

// Canonical is a published version as it is frozen. Fields are added at the end, never changed: the bytes of every
// version ever signed have this shape.
type Canonical struct {
	Society      string          `json:"society"`
	Event        string          `json:"event"`
	Name         string          `json:"name"`
	Version      int             `json:"version"`
	SignedBy     string          `json:"signed_by"`
	SignedAt     time.Time       `json:"signed_at"`
	Remarks      string          `json:"remarks"`
	ChecklistRev string          `json:"checklist_revision"`
	KnowledgeRev string          `json:"knowledge_revision"`
	Rule         string          `json:"rule"`
	Total        int             `json:"distinct_taxa"`
	Totals       map[string]int  `json:"distinct_taxa_by_group"`
	Finds        int             `json:"finds"`
	Lines        []CanonicalLine `json:"lines"`
	FieldRecords int             `json:"field_records"` // among the finds
}

// CanonicalLine is one line of a version.
type CanonicalLine struct {
	Name         string   `json:"name"`
	Author       string   `json:"author"`
	Rank         string   `json:"rank"`
	Qualifier    string   `json:"qualifier"`
	Position     string   `json:"qualifier_position"`
	Written      string   `json:"written"`
	Group        string   `json:"group"`
	Family       string   `json:"family"`
	Common       string   `json:"common_name"`
	DeterminedAs []string `json:"determined_as"`
	State        string   `json:"state"`
	Apart        string   `json:"apart"`
	Counts       bool     `json:"counts"`
	Why          string   `json:"why"`
	Numbers      []string `json:"collections"`
	Places       []string `json:"sites"`
	Determiners  []string `json:"determiners"`
	Known        bool     `json:"known_to_classification"`
	FieldRecords []string `json:"field_records"`
	Seen         int      `json:"seen_in_the_field"` // counted of the field records
	Phylum       string   `json:"phylum"`
	Class        string   `json:"class"`
	Order        string   `json:"order"`
	Vouchers     []string `json:"vouchers"`        // numbers of the collections that are kept
	Photographs  int      `json:"photographs"`     // that anybody may see
	Firsts       []string `json:"first_records"`   // possible or sure, in words
	Severity     int      `json:"hazard_severity"` // 0: no entry
	Syndrome     string   `json:"hazard_syndrome"`
}

// Sign is a version to be published.
type Sign struct {
	Remarks string `json:"remarks,omitempty"`
	Seq     int64  `json:"change_seq"` // the change after which the keeper looked at the list
	// Lines is the Digest of the lines that the keeper looked at. With it is refused too what changed outside the event: an
	// earlier list that was taken in since makes other first records. Empty: only the event is asked.
	Lines string `json:"lines_sha256,omitempty"`
}

// Published is the answer.
type Published struct {
	Version int    `json:"version"`
	SHA256  string `json:"sha256"`
}

// Publish signs the list as it is and freezes it as bytes. What the keeper signs is what the keeper saw: a list that
// changed since is a Conflict.
func Publish(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Sign) (Published, error) {
	cmd.Type, cmd.Body = "list.publish.v1", in
	return hall.Do(ctx, h, actor, access.PublishList, scope, cmd, func(w *hall.Write) (Published, error) {
		r, err := running(&w.Look)
		if err != nil {
			return Published{}, err
		}
		changed := fault.New(fault.Conflict, "list.changed-since")
		if in.Seq != r.Seq {
			return Published{}, changed
		}
		if len(in.Remarks) > 2000 {
			return Published{}, fault.Wrong("note", "text.too-long", "most", 2000)
		}
		society, err := w.Tx.SocietyByID(scope.Society)
		if err != nil {
			return Published{}, err
		}
		signer, err := w.Tx.PersonByID(scope.Society, actor.Person)
		if err != nil {
			return Published{}, err
		}
		version := 1
		if len(r.Versions) > 0 {
			version = r.Versions[0].Version + 1
		}
		c := canonical(society, r, version, in.Remarks, signature(signer), w.Now, h)
		if in.Lines != "" {
			now, err := Digest(c.Lines)
			if err != nil {
				return Published{}, err
			}
			if in.Lines != now {
				return Published{}, changed
			}
		}
		p, err := freeze(c)
		if err != nil {
			return Published{}, err
		}
		p.SocietyID, p.EventID, p.ChangeSeq, p.SignedBy, p.SignedAt = scope.Society, scope.Event, r.Seq, actor.Person, w.Stamp()
		if err := w.Tx.AddPublication(p); err != nil {
			return Published{}, err
		}
		w.Note("list.publish", scope.Event, fmt.Sprintf("version %d, sha256 %s", version, p.CanonicalSha256))
		w.Changed("publication", scope.Event)
		return Published{Version: version, SHA256: p.CanonicalSha256}, nil
	})
}

// Digest is the SHA-256, in hexadecimal, of a list's lines as a version would freeze them.
func Digest(lines []CanonicalLine) (string, error) {
	data, err := json.Marshal(lines)
	if err != nil {
		return "", fmt.Errorf("write the lines of the list: %w", err)
	}
	return sha(data), nil
}

// signature is how the keeper chose to be named; who it was stays in the publication's row.
func signature(keeper store.Person) string {
	if name := hall.CreditedName(keeper); name != "" {
		return name
	}
	return message.For(message.English).Say("list.keeper-unnamed")
}

func canonical(society store.Society, r Running, version int, remarks, signer string, at time.Time, h *hall.Hall) Canonical {
	en := message.For(message.English)
	c := Canonical{Society: society.Name, Event: r.Event.Code, Name: r.Event.Name, Version: version, SignedBy: signer,
		SignedAt: at, Remarks: strings.TrimSpace(remarks), ChecklistRev: h.Knowledge.Names.Revision(), KnowledgeRev: h.Knowledge.Revision,
		Rule: en.Say("tally.rule"), Total: r.List.Total, Totals: map[string]int{}, Finds: r.List.Finds,
		FieldRecords: r.List.Fields}
	for _, realm := range tally.Realms {
		c.Totals[string(realm)] = r.List.Totals[realm]
	}
	c.Lines = Lines(h, society, r)
	return c
}

// Lines gives a list's lines in the shape in which versions freeze them, with the common names that the society prints.
func Lines(h *hall.Hall, society store.Society, r Running) []CanonicalLine {
	common, en := h.CommonNamer(society), message.For(message.English)
	lines := make([]CanonicalLine, 0, len(r.List.Lines))
	for _, line := range r.List.Lines {
		c := canonicalLine(line, en)
		c.Common = common(line.Current)
		worst := h.Knowledge.Hazards.Worst([]hazard.Question{{Text: c.Written}}, r.Event.Region)
		if c.Severity = worst.Severity; worst.Severity > 0 {
			c.Syndrome = worst.Findings[0].Syndrome.Name
		}
		lines = append(lines, c)
	}
	return lines
}

func canonicalLine(l tally.Line, en message.Printer) CanonicalLine {
	c := CanonicalLine{Name: l.Name, Author: l.Author, Rank: string(l.Rank), Qualifier: string(l.Qualifier), Position: string(l.Position),
		Written: Written(l.Named), Group: string(l.Realm), Family: l.Family, State: string(l.State),
		Apart: string(l.Apart), Counts: l.Counts, Why: en.Text(l.Why), Known: l.Current != nil, FieldRecords: []string{}, Seen: l.Seen(),
		DeterminedAs: []string{}, Numbers: []string{}, Places: append([]string{}, l.Places...), Determiners: append([]string{}, l.Determiners...),
		Vouchers: []string{}, Photographs: l.Photographs(), Firsts: []string{}}
	if n := l.Current; n != nil {
		c.Phylum, c.Class, c.Order = n.Phylum, n.Class, n.Order
	}
	for _, d := range l.Determined {
		c.DeterminedAs = append(c.DeterminedAs, Written(d))
	}
	for _, first := range l.Firsts {
		c.Firsts = append(c.Firsts, en.Text(first.Text))
	}
	for _, f := range l.Finds {
		if f.Field {
			c.FieldRecords = append(c.FieldRecords, "urn:uuid:"+f.ID)
			continue
		}
		c.Numbers = append(c.Numbers, f.Number)
		if f.Voucher {
			c.Vouchers = append(c.Vouchers, f.Number)
		}
	}
	return c
}

func freeze(c Canonical) (store.Publication, error) {
	data, err := json.MarshalIndent(c, "", " ")
	if err != nil {
		return store.Publication{}, fmt.Errorf("write the canonical list: %w", err)
	}
	sheet, err := CSV(c)
	if err != nil {
		return store.Publication{}, err
	}
	return store.Publication{Version: c.Version, Canonical: data, CanonicalSha256: sha(data), CSV: sheet, CSVSha256: sha(sheet),
		ChecklistRev: c.ChecklistRev, KnowledgeRev: c.KnowledgeRev, Remarks: c.Remarks}, nil
}

func sha(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

// csvHeader is the columns of list-csv: added to, never changed.
var csvHeader = []string{"current_name", "author", "rank", "qualifier", "common_name", "determined_as", "state", "counts", "apart",
	"why", "collections", "numbers", "sites", "determiners", "family", "group", "known_to_classification", "field_records", "seen_in_the_field",
	"phylum", "class", "order", "vouchers", "photographs", "first_records", "hazard_severity", "hazard_syndrome"}

// CSV is a list for spreadsheets: cells that one would run as a formula are escaped.
func CSV(c Canonical) ([]byte, error) {
	rows := make([][]string, 0, len(c.Lines))
	for _, l := range c.Lines {
		rows = append(rows, []string{l.Name, l.Author, l.Rank, l.Qualifier, l.Common, strings.Join(l.DeterminedAs, "; "), l.State,
			yesNo(l.Counts), l.Apart, l.Why, strconv.Itoa(len(l.Numbers)), strings.Join(l.Numbers, "; "), strings.Join(l.Places, "; "),
			strings.Join(l.Determiners, "; "), l.Family, l.Group, yesNo(l.Known),
			strconv.Itoa(len(l.FieldRecords)), strconv.Itoa(l.Seen), l.Phylum, l.Class, l.Order, strings.Join(l.Vouchers, "; "),
			strconv.Itoa(l.Photographs), strings.Join(l.Firsts, "; "), severity(l.Severity), l.Syndrome})
	}
	var w bytes.Buffer
	err := archive.WriteCSV(&w, csvHeader, rows, archive.Formulas)
	return w.Bytes(), err
}

// severity is empty where there is no entry.
func severity(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// Version gives the bytes of a published version.
func Version(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, n int) (store.Publication, Canonical, error) {
	var p store.Publication
	var c Canonical
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) (err error) {
		p, err = l.Tx.PublicationByVersion(scope.Society, scope.Event, n)
		return err
	})
	if err != nil {
		return p, c, err
	}
	if err := json.Unmarshal(p.Canonical, &c); err != nil {
		return p, c, fmt.Errorf("read version %d: %w", n, err)
	}
	return p, c, nil
}

// Draft is the running list in the shape of a version, for an export before anything is published.
func Draft(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Canonical, error) {
	var c Canonical
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) error {
		r, err := running(l)
		if err != nil {
			return err
		}
		society, err := l.Tx.SocietyByID(scope.Society)
		c = canonical(society, r, 0, "", "", l.Now, h)
		return err
	})
	return c, err
}
