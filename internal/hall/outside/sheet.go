package outside

import (
	"context"
	"fmt"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/muster"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// Paper is a team's sheet as it was kept on paper, with its true times.
type Paper struct {
	Team      string      `json:"team"` // its id or number
	OutAt     time.Time   `json:"out_at,omitzero"`
	HeadsOut  *int        `json:"heads_out,omitempty"`
	BackAt    time.Time   `json:"back_at,omitzero"`
	HeadsBack *int        `json:"heads_back,omitempty"`
	Lines     []PaperLine `json:"lines"`
}

// PaperLine is one name of it. A line that says nothing of how it ended is somebody who is still out.
type PaperLine struct {
	Member foray.ID        `json:"member,omitzero"` // or, with a name alone, whoever is on the sheet under it; else they are added
	Name   string          `json:"name,omitempty"`
	OutAt  time.Time       `json:"out_at,omitzero"`   // zero: the team's
	How    muster.MarkKind `json:"how,omitempty"`     // back, left_early, found, not_going
	EndAt  time.Time       `json:"ended_at,omitzero"` // zero: the team's time back
}

// Entered is what a sheet came to.
type Entered struct {
	Stood
	Marks int `json:"marks"`
	Added int `json:"added"` // names that were on no sheet before
}

// EnterSheet takes a whole paper sheet, or nothing of it.
func EnterSheet(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Paper) (Entered, error) {
	cmd.Type, cmd.Body = "sheet.enter.v1", in
	return hall.Do(ctx, h, actor, access.SignAnyoneIn, scope, cmd, func(w *hall.Write) (Entered, error) {
		found, err := w.TeamWritten(in.Team)
		if err != nil {
			return Entered{}, err
		}
		t, err := w.Tx.LockTeam(scope.Society, scope.Event, found.ID)
		if err != nil {
			return Entered{}, err
		}
		p := typist{Write: w, team: t, in: in, wrong: map[string]message.Text{}}
		if err := p.enter(); err != nil {
			return Entered{}, err
		}
		w.Note("", t.ID, fmt.Sprintf("team %d, %d marks, %d names added", t.Number, p.done.Marks, p.done.Added))
		w.Changed("team", t.ID)
		p.done.Stood, err = stood(w, t, foray.ID{})
		return p.done, err
	})
}

// typist enters one sheet.
type typist struct {
	*hall.Write
	team  store.Team
	in    Paper
	wrong map[string]message.Text
	done  Entered
}

func (p *typist) enter() error {
	if len(p.in.Lines) > mostMembers {
		return fault.New(fault.Refused, "team.full", "most", mostMembers)
	}
	p.times()
	for i, line := range p.in.Lines {
		p.look(i, line)
	}
	if len(p.wrong) > 0 {
		return fault.Many(p.wrong)
	}
	once := map[foray.ID]bool{}
	for i, line := range p.in.Lines {
		id, err := p.member(i, line)
		if err != nil {
			return err
		}
		if once[id] {
			return fault.Wrong(p.field(i, "name"), "team.line-twice", "line", i+1)
		}
		once[id] = true
		if err := p.mark(id, line); err != nil {
			return err
		}
	}
	if p.done.Marks == 0 && p.in.HeadsOut == nil && p.in.HeadsBack == nil {
		return fault.Wrong("lines", "team.sheet-empty")
	}
	return p.heads()
}

func (p *typist) field(i int, name string) string { return fmt.Sprintf("lines.%d.%s", i, name) }

// times looks at what the sheet says of the team as a whole.
func (p *typist) times() {
	p.past("out_at", p.in.OutAt)
	p.past("back_at", p.in.BackAt)
	if !p.in.OutAt.IsZero() && !p.in.BackAt.IsZero() && !p.in.BackAt.After(p.in.OutAt) {
		p.wrong["back_at"] = message.T("team.back-before-out")
	}
	for field, heads := range map[string]*int{"heads_out": p.in.HeadsOut, "heads_back": p.in.HeadsBack} {
		if heads != nil && counted(heads) != nil {
			p.wrong[field] = message.T("team.heads", "most", mostHeads)
		}
	}
	if p.in.HeadsOut != nil && p.in.OutAt.IsZero() {
		p.wrong["out_at"] = message.T("team.time-missing")
	}
	if p.in.HeadsBack != nil && p.in.BackAt.IsZero() {
		p.wrong["back_at"] = message.T("team.time-missing")
	}
}

// past: a paper sheet tells of what was; a year is more than it waits to be typed.
func (p *typist) past(field string, t time.Time) {
	if !t.IsZero() && (t.After(p.Now) || t.Before(p.Now.AddDate(-1, 0, 0))) {
		p.wrong[field] = message.T("team.not-yet")
	}
}

func (p *typist) look(i int, line PaperLine) {
	p.past(p.field(i, "out_at"), line.OutAt)
	p.past(p.field(i, "ended_at"), line.EndAt)
	out, end := p.outAt(line), p.endAt(line)
	switch {
	case line.Member.IsZero() && tidy(line.Name) == "" || len(line.Name) > mostName:
		p.wrong[p.field(i, "name")] = message.T("team.name-missing", "most", mostName)
	case line.How != "" && (!line.How.Known() || line.How == muster.Out):
		p.wrong[p.field(i, "how")] = message.T("team.mark-unknown")
	case line.How != muster.NotGoing && out.IsZero():
		p.wrong[p.field(i, "out_at")] = message.T("team.line-time", "line", i+1)
	case line.How != "" && end.IsZero():
		p.wrong[p.field(i, "ended_at")] = message.T("team.line-time", "line", i+1)
	case line.How != "" && line.How != muster.NotGoing && !end.After(out):
		p.wrong[p.field(i, "ended_at")] = message.T("team.line-order", "line", i+1)
	}
}

func (p *typist) outAt(line PaperLine) time.Time {
	if line.OutAt.IsZero() {
		return p.in.OutAt
	}
	return line.OutAt
}

// endAt is when the line ended; whoever did not go did not do so when the others went.
func (p *typist) endAt(line PaperLine) time.Time {
	switch {
	case !line.EndAt.IsZero():
		return line.EndAt
	case line.How == muster.NotGoing:
		return p.outAt(line)
	}
	return p.in.BackAt
}

// member finds whom a line means, or adds them.
func (p *typist) member(i int, line PaperLine) (foray.ID, error) {
	on, err := sheetOf(&p.Look, p.team.ID)
	if err != nil {
		return foray.ID{}, err
	}
	if !line.Member.IsZero() {
		if _, ok := on[line.Member]; !ok {
			return foray.ID{}, fault.Wrong(p.field(i, "name"), "team.not-on-sheet", "team", p.team.Number)
		}
		return line.Member, nil
	}
	var found []foray.ID
	for id, m := range on {
		if taxon.Fold(m.Name) == taxon.Fold(tidy(line.Name)) {
			found = append(found, id)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		p.done.Added++
		return join(p.Write, p.team, store.TeamMember{SocietyID: p.team.SocietyID, EventID: p.team.EventID, TeamID: p.team.ID, AddedBy: p.Actor.Person,
			AddedAt: p.Stamp()}, About{Name: line.Name})
	}
	return foray.ID{}, fault.Wrong(p.field(i, "name"), "team.line-which", "name", tidy(line.Name))
}

func (p *typist) mark(id foray.ID, line PaperLine) error {
	if line.How != muster.NotGoing {
		p.done.Marks++
		if err := addMarksAt(p.Write, p.team, []Mark{{id, muster.Out}}, store.At(p.outAt(line)), ""); err != nil {
			return err
		}
	}
	if line.How == "" {
		return nil
	}
	p.done.Marks++
	return addMarksAt(p.Write, p.team, []Mark{{id, line.How}}, store.At(p.endAt(line)), "")
}

func (p *typist) heads() error {
	if p.in.HeadsOut != nil {
		if err := addCountAt(p.Write, p.team, muster.CountOut, p.in.HeadsOut, store.At(p.in.OutAt), ""); err != nil {
			return err
		}
	}
	if p.in.HeadsBack != nil {
		return addCountAt(p.Write, p.team, muster.CountBack, p.in.HeadsBack, store.At(p.in.BackAt), "")
	}
	return nil
}
