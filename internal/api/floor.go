package api

import (
	"time"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hall/tables"
	"forayhall/internal/hall/wall"
)

// TablePlan is a table from above, in millimetres of the hall.
type TablePlan struct {
	Number   int       `json:"number"`
	Title    string    `json:"title,omitempty"`
	X        int       `json:"x_mm"`
	Y        int       `json:"y_mm"`
	Width    int       `json:"width_mm"`
	Height   int       `json:"height_mm"`
	Plates   int       `json:"plates"`
	Slots    int       `json:"slots"`
	Unnamed  int       `json:"unnamed"`
	Worst    int       `json:"worst_severity"`
	Hazards  bool      `json:"out_of_reach"`
	Found    bool      `json:"found"`
	SweptAt  time.Time `json:"swept_at,omitzero"`
	LengthMM int       `json:"length_mm"`
	DepthMM  int       `json:"depth_mm"`
}

// HallPlan is the hall from above.
type HallPlan struct {
	ChangeSeq int64       `json:"change_seq"`
	Width     int         `json:"width_mm"`
	Height    int         `json:"height_mm"`
	Back      int         `json:"on_back_table"`
	Tables    []TablePlan `json:"tables"`
}

func seePlan(r *request) (HallPlan, error) {
	find := r.echo.QueryParam("find")
	if len(find) > longestQuery {
		return HallPlan{}, fault.Wrong("find", "text.too-long", "most", longestQuery)
	}
	p, err := tables.SeePlan(r.ctx, r.hall(), r.actor, r.scope(), find)
	out := HallPlan{ChangeSeq: p.Seq, Width: p.Hall.Width, Height: p.Hall.Height, Back: p.Back, Tables: []TablePlan{}}
	for i, t := range p.Tables {
		b := p.Hall.Boxes[i]
		out.Tables = append(out.Tables, TablePlan{Number: t.Number, Title: t.Title, X: b.X, Y: b.Y, Width: b.Width, Height: b.Height, Plates: t.Plates,
			Slots: t.Slots, Unnamed: t.Unnamed, Worst: t.Worst, Hazards: t.Hazards, Found: t.Found, SweptAt: t.SweptAt, LengthMM: t.LengthMM, DepthMM: t.DepthMM})
	}
	return out, err
}

func seePapers(r *request) (tables.Papers, error) {
	return tables.SeePapers(r.ctx, r.hall(), r.actor, r.scope())
}

// WallBoard is what hangs above the tables: numbers and never a person.
type WallBoard struct {
	ChangeSeq int64          `json:"change_seq"`
	At        time.Time      `json:"at"`
	States    map[string]int `json:"states"`
	Waiting   int            `json:"waiting"`
	OnTables  int            `json:"on_tables"`
	Spoiling  []SpoilingSoon `json:"spoiling"`
	Teams     []TeamByNumber `json:"teams"`
	Warnings  []WallWarning  `json:"warnings"`
	More      int            `json:"more_warnings"` // dangerous taxa beyond those: the sheet has them
	Wide      []string       `json:"named_too_widely"`
	Nameless  int            `json:"without_a_name"`
	Contact   bool           `json:"contact_tested"`
}

// SpoilingSoon is a plate that will soon be past naming.
type SpoilingSoon struct {
	Number string    `json:"number"`
	Group  string    `json:"group"`
	At     time.Time `json:"at"`
}

// TeamByNumber is a team as the wall shows it.
type TeamByNumber struct {
	Number int        `json:"number"`
	State  string     `json:"state"`
	Out    int        `json:"out"`
	Due    *time.Time `json:"due,omitempty"`
	Step   string     `json:"step"` // of the ladder of warnings
}

// WallWarning is a dangerous taxon and the tables where it stands or may stand.
type WallWarning struct {
	Name     string   `json:"name"`
	Severity int      `json:"severity"`
	Tables   []string `json:"tables"`
}

func seeWall(r *request) (WallBoard, error) {
	w, err := wall.See(r.ctx, r.hall(), r.actor, r.scope())
	out := WallBoard{ChangeSeq: w.Seq, At: w.Now, States: w.States, Waiting: w.Waiting, OnTables: w.OnTables, Contact: w.Contact, More: w.More, Wide: append([]string{}, w.Wide...), Nameless: w.Nameless,
		Spoiling: []SpoilingSoon{}, Teams: []TeamByNumber{}, Warnings: []WallWarning{}}
	for _, s := range w.Spoiling {
		out.Spoiling = append(out.Spoiling, SpoilingSoon{Number: s.Number.String(), Group: s.Group, At: s.At})
	}
	for _, t := range w.Teams {
		out.Teams = append(out.Teams, TeamByNumber{Number: t.Number, State: string(t.State), Out: t.Out, Due: t.Due, Step: t.Alert.Step.String()})
	}
	for _, d := range w.Warnings {
		out.Warnings = append(out.Warnings, WallWarning{Name: d.Name, Severity: d.Severity, Tables: append([]string{}, d.Tables...)})
	}
	return out, err
}

// IncidentCase is that something was eaten, for who wrote it down and for the safety lead.
type IncidentCase struct {
	ID        foray.ID       `json:"id"`
	Who       string         `json:"who"`
	Number    string         `json:"number,omitempty"`
	What      string         `json:"what,omitempty"`
	EatenAt   time.Time      `json:"eaten_at,omitzero"`
	EatenText string         `json:"eaten_text,omitempty"`
	HowMuch   string         `json:"how_much,omitempty"`
	Signs     string         `json:"signs,omitempty"`
	OpenedAt  time.Time      `json:"opened_at"`
	ClosedAt  time.Time      `json:"closed_at,omitzero"`
	Names     []Name         `json:"names_in_question"` // of the plate and of all it was split into or put together with
	Parts     []string       `json:"parts"`
	Findings  []Finding      `json:"findings"`
	Notes     []IncidentNote `json:"notes"`
}

// IncidentNote is what was said or done.
type IncidentNote struct {
	At    time.Time `json:"at"`
	By    string    `json:"by"`
	Words string    `json:"words"`
}

func seeIncident(r *request) (IncidentCase, error) {
	id, err := foray.ParseID(r.echo.Param("incident"))
	if err != nil {
		return IncidentCase{}, fault.Missing()
	}
	c, err := safety.SeeIncident(r.ctx, r.hall(), r.actor, r.scope(), id)
	i := c.Incident
	out := IncidentCase{ID: i.ID, Who: i.Who, What: i.What, EatenAt: i.EatenAt.Time, EatenText: i.EatenText, HowMuch: i.HowMuch, Signs: i.Signs,
		OpenedAt: i.OpenedAt.Time, ClosedAt: i.ClosedAt.Time, Names: []Name{}, Parts: []string{}, Findings: []Finding{}, Notes: []IncidentNote{}}
	if c.Plate != nil {
		out.Number, out.Names, out.Findings = c.Plate.Number().String(), r.inQuestion(*c.Plate), assessed(c.Assessment)
		for _, p := range c.Parts {
			out.Parts, out.Names = append(out.Parts, p.Number().String()), append(out.Names, r.inQuestion(p)...)
		}
	}
	for _, n := range c.Notes {
		out.Notes = append(out.Notes, IncidentNote{At: n.HappenedAt.Time, By: c.People[n.NotedBy].Name, Words: n.Words})
	}
	return out, err
}
