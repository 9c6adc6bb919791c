package earlier

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// prepared is a list that was read and is not written yet.
type prepared struct {
	about   About
	opts    Options
	sum     string
	records []store.EarlierRecord
	out     Outcome
}

// read reads a list whole. It asks nothing of the database, so that a long list keeps nobody waiting.
func read(h *hall.Hall, about About, t *archive.Table, opts Options) (*prepared, error) {
	if len(t.Rows) > MostLines {
		return nil, fault.Wrong("file", "earlier.too-long", "most", MostLines, "n", len(t.Rows))
	}
	p := &prepared{about: about, opts: opts}
	recs, refused, notes, err := archive.ListRecords(t, archive.Options{MonthFirst: opts.MonthFirst, Today: today(h)})
	if err != nil {
		return nil, inFile(err)
	}
	if p.sum, err = digest(t); err != nil {
		return nil, err
	}
	p.out = Outcome{Rows: len(t.Rows), Lines: len(recs), Refused: refused, Notes: notes, HeaderRow: t.HeaderLine()}
	if p.out.PeriodOf, err = period(about.Period, recs, today(h)); err != nil {
		return nil, err
	}
	n := newNames(h, opts)
	n.all(recs)
	n.tell(&p.out)
	p.records = make([]store.EarlierRecord, len(recs))
	for i, rec := range recs {
		p.records[i] = record(rec, n.read[writtenIn(rec)].name)
	}
	return p, nil
}

// inFile puts what is wrong with a file at the field where it was chosen.
func inFile(err error) error {
	f := fault.From(err)
	if f.Kind == fault.Invalid && len(f.Fields) == 0 {
		return &fault.Error{Kind: fault.Invalid, Text: message.T("fault.invalid"), Fields: map[string]message.Text{"file": f.Text}, Cause: f.Cause}
	}
	return err
}

// digest is of what a table says, so that it is the same list when it was saved in another format.
func digest(t *archive.Table) (string, error) {
	data, err := json.Marshal([]any{t.Header, t.Rows})
	if err != nil {
		return "", fmt.Errorf("read %s: %w", t.Name, err)
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:]), nil
}

// period is what was said of the list, else from the first to the last day of its lines.
func period(said string, recs []archive.ListRecord, today time.Time) (archive.DateRange, error) {
	if strings.TrimSpace(said) != "" {
		d, reason := archive.ReadPeriod(said, today)
		if !reason.IsZero() {
			return d, fault.Many(map[string]message.Text{"period": message.T("earlier.period")})
		}
		return d, nil
	}
	var d archive.DateRange
	for _, rec := range recs {
		if rec.Day.From.IsZero() {
			continue
		}
		if d.From.IsZero() || rec.Day.From.Before(d.From) {
			d.From = rec.Day.From
		}
		if rec.Day.To.After(d.To) {
			d.To = rec.Day.To
		}
	}
	return d, nil
}

func record(rec archive.ListRecord, n foray.SlipName) store.EarlierRecord {
	r := store.EarlierRecord{Line: rec.Line, Verbatim: rec.Name, NameKey: n.Key, Name: n.Name, Author: n.Author, NameRank: n.NameRank, Qualifier: n.Qualifier,
		QualifierPosition: n.Position, Place: rec.Place, DayText: rec.Day.Text, DayFrom: dayText(rec.Day.From), DayTo: dayText(rec.Day.To), N: rec.Count, NText: rec.CountText,
		Collector: rec.Collector, Determiner: rec.Determiner, Host: rec.Host, Substrate: rec.Substrate, Remarks: rec.Remarks, AsItCame: rec.AsItCame}
	return r
}

func dayText(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(time.DateOnly)
}

// permit refuses a list that is not answered or not whole.
func (p *prepared) permit() error {
	switch {
	case len(p.out.Asked) > 0:
		return &fault.Error{Kind: fault.Invalid, Text: message.T("earlier.asked", "n", len(p.out.Asked), "names", some(p.out.Asked)), Other: Wanting{Asked: p.out.Asked}}
	case len(p.out.Refused) > 0 && !p.opts.LeaveOut:
		return &fault.Error{Kind: fault.Invalid, Text: message.T("earlier.refused", "n", len(p.out.Refused)), Other: Wanting{Refused: p.out.refusedRows()}}
	case len(p.records) == 0:
		return fault.Wrong("file", "earlier.no-lines")
	}
	return nil
}

// some names the first of many.
func some(all []ReadName) string {
	const few = 12
	var names []string
	for i, n := range all {
		if i == few {
			return strings.Join(names, ", ") + " …"
		}
		names = append(names, n.Written)
	}
	return strings.Join(names, ", ")
}

// Wanting is what keeps a list from being taken in.
type Wanting struct {
	Asked   []ReadName   `json:"asked,omitempty"`
	Refused []RefusedRow `json:"refused,omitempty"`
}

// RefusedRow is a row that cannot be taken, in English, as the API answers it.
type RefusedRow struct {
	Line   int    `json:"line"`
	Column string `json:"column"`
	Value  string `json:"value"`
	Reason string `json:"reason"`
}

func (out Outcome) refusedRows() []RefusedRow {
	rows := make([]RefusedRow, len(out.Refused))
	for i, r := range out.Refused {
		rows[i] = RefusedRow{r.Line, r.Field, r.Value, message.For(message.English).Text(r.Reason)}
	}
	return rows
}

// isNew refuses what is in force already: the same lines for the same place.
func (p *prepared) isNew(l *hall.Look) error {
	lists, err := l.Tx.EarlierLists(l.Scope.Society)
	for _, list := range lists {
		if list.InForce() && list.SHA256 == p.sum && list.Scope == p.about.Scope && list.Site == p.about.Site && list.Area == p.about.Area {
			return fault.Wrong("file", "earlier.there", "title", list.Title)
		}
	}
	return err
}

// body is what the command remembers of a list.
type body struct {
	About
	Options
	SHA256 string `json:"sha256"`
}

// Import takes a list in, every line of it or nothing. Where cmd has no id, one is made of the list and what is said of
// it, so that the same list sent again is the same command, until it is withdrawn.
func Import(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, about About, t *archive.Table, opts Options) (Outcome, error) {
	if err := h.View(ctx, actor, access.NameOwn, scope, may); err != nil {
		return Outcome{}, err
	}
	about, err := about.tidied()
	if err != nil {
		return Outcome{}, err
	}
	p, err := read(h, about, t, opts)
	if err != nil {
		return Outcome{}, err
	}
	if err := p.permit(); err != nil {
		return p.out, err
	}
	if cmd.ID.IsZero() {
		if cmd.ID, err = p.commandID(ctx, h, actor, scope); err != nil {
			return p.out, err
		}
	}
	cmd.Type, cmd.Body = "earlier-list.add.v1", body{about, opts, p.sum}
	added, err := hall.Do(ctx, h, actor, access.NameOwn, scope, cmd, p.write)
	p.out.List = added.ID
	return p.out, err
}

// commandID is a UUID of version 8 (RFC 9562, 5.8): the beginning of a SHA-256. A list that was withdrawn may be taken
// in anew.
func (p *prepared) commandID(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (id foray.ID, err error) {
	withdrawn := 0
	err = h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) error {
		lists, err := l.Tx.EarlierLists(l.Scope.Society)
		for _, list := range lists {
			if !list.InForce() && list.SHA256 == p.sum {
				withdrawn++
			}
		}
		return err
	})
	said, err2 := json.Marshal(body{p.about, p.opts, p.sum})
	if err == nil {
		err = err2
	}
	made := sha256.Sum256(fmt.Appendf(nil, "earlier-list.add %s %s %d", scope.Society, said, withdrawn))
	id = foray.ID(made[:16])
	id[6] = id[6]&0x0f | 0x80
	id[8] = id[8]&0x3f | 0x80
	return id, err
}

func (p *prepared) write(w *hall.Write) (Added, error) {
	if err := may(&w.Look); err != nil {
		return Added{}, err
	}
	if err := w.Tx.LockSociety(w.Scope.Society); err != nil {
		return Added{}, err
	}
	if err := p.isNew(&w.Look); err != nil {
		return Added{}, err
	}
	id, err := w.NewID()
	if err != nil {
		return Added{}, err
	}
	of := p.out.PeriodOf
	list := store.EarlierList{SocietyID: w.Scope.Society, ID: id, Title: p.about.Title, Scope: p.about.Scope, Site: p.about.Site, Area: p.about.Area,
		Source: p.about.Source, PeriodText: of.Text, PeriodFrom: dayText(of.From), PeriodTo: dayText(of.To), File: p.about.File, Header: p.out.HeaderRow,
		SHA256: p.sum, Lines: len(p.records), AddedBy: w.Actor.Person, AddedAt: w.Stamp()}
	for i := range p.records {
		p.records[i].SocietyID, p.records[i].ListID = w.Scope.Society, id
	}
	w.Note("earlier-list.add", id, fmt.Sprintf("%s, sha256 %s: %d lines", list.Title, p.sum, list.Lines))
	w.Changed("earlier-list", id)
	return Added{ID: id, Lines: list.Lines}, w.Tx.AddEarlierList(list, p.records)
}

// NewList is a list as a device sends it: the text of its table, CSV with a comma, a semicolon or a tab.
type NewList struct {
	About
	Options
	Table string `json:"table"`
}

// Add is Import for a table that is sent as text.
func Add(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in NewList) (Added, error) {
	t, err := archive.ReadListTable(ctx, strings.NewReader(in.Table), in.File)
	if err != nil {
		return Added{}, inFile(err)
	}
	out, err := Import(ctx, h, actor, scope, cmd, in.About, t, in.Options)
	return Added{ID: out.List, Lines: out.Lines}, err
}

// Withdrawal takes a list out of force.
type Withdrawal struct {
	List   foray.ID `json:"list"`
	Reason string   `json:"reason"`
}

// Withdraw takes a list out of force, with a reason; its lines stay to be read.
func Withdraw(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Withdrawal) (Added, error) {
	cmd.Type, cmd.Body = "earlier-list.withdraw.v1", in
	return hall.Do(ctx, h, actor, access.NameOwn, scope, cmd, func(w *hall.Write) (Added, error) {
		if err := may(&w.Look); err != nil {
			return Added{}, err
		}
		why := tidy(in.Reason)
		switch {
		case why == "":
			return Added{}, fault.Wrong("reason", "earlier.reason-missing")
		case len([]rune(why)) > mostWords:
			return Added{}, fault.Wrong("reason", "text.too-long", "most", mostWords)
		}
		if err := w.Tx.LockSociety(w.Scope.Society); err != nil {
			return Added{}, err
		}
		list, err := w.Tx.EarlierListByID(w.Scope.Society, in.List)
		if err != nil {
			return Added{}, err
		}
		if !list.InForce() {
			return Added{}, fault.New(fault.Refused, "earlier.withdrawn", "title", list.Title)
		}
		w.Note("earlier-list.withdraw", list.ID, list.Title+": "+why)
		w.Changed("earlier-list", list.ID)
		return Added{ID: list.ID, Lines: list.Lines}, w.Tx.WithdrawEarlierList(w.Scope.Society, list.ID, w.Actor.Person, w.Stamp(), why)
	})
}
