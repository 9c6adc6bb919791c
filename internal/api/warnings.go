package api

import (
	"time"

	"forayhall/internal/hall/safety"
	"forayhall/internal/hazard"
	"forayhall/internal/message"
)

// Warnings is the warning sheet. Every plate in the hall stands in at least one of here, wide, nameless and no_entry.
type Warnings struct {
	ChangeSeq int64         `json:"change_seq"`
	Knowledge string        `json:"knowledge_revision"`
	Final     bool          `json:"final"` // only with a tested poison contact
	Lacks     []string      `json:"lacks"` // what keeps it from being final
	Contact   *Contact      `json:"contact,omitempty"`
	Here      []HereLine    `json:"here"`
	Wide      []WideLine    `json:"wide"`
	Nameless  []WarnedPlate `json:"nameless"`
	NoEntry   []WarnedPlate `json:"no_entry"`
	Doubles   []DoubleLine  `json:"doubles"`
	Eaten     []string      `json:"if_something_was_eaten"`
	Caution   string        `json:"caution"`
}

// Contact is whom to call, with who typed it in and who rang it, as the paper has it.
type Contact struct {
	Name     string    `json:"name"`
	Phone    string    `json:"phone"`
	TypedBy  string    `json:"typed_by"`
	TypedAt  time.Time `json:"typed_at"`
	TestedBy string    `json:"tested_by,omitempty"`
	TestedAt time.Time `json:"tested_at,omitzero"`
}

// WarnedPlate is a plate where it stands.
type WarnedPlate struct {
	Number string   `json:"number"`
	Table  string   `json:"table,omitempty"`
	State  string   `json:"state"`
	Names  []string `json:"names"`
}

// HereLine is what is here or may be here: one name with one syndrome.
type HereLine struct {
	Taxon       string        `json:"taxon"`
	Finding     Finding       `json:"finding"`
	Onset       string        `json:"onset"`
	Plates      []WarnedPlate `json:"plates"`
	MistakenFor []Double      `json:"mistaken_for"`
}

// WideLine is a name too wide to rule anything out.
type WideLine struct {
	Name   string        `json:"name"`
	Worst  Finding       `json:"worst"`
	Nearer *Finding      `json:"worst_of_region,omitempty"` // where worst is of another region
	Others []Finding     `json:"others"`
	Plates []WarnedPlate `json:"plates"`
}

// Double is a mistake that happens: somebody looks for gathered and picks poisonous.
type Double struct {
	Gathered    string      `json:"gathered"`
	Poisonous   string      `json:"poisonous"`
	Severity    int         `json:"severity"`
	Syndrome    string      `json:"syndrome,omitempty"`
	Differences string      `json:"differences"`
	Source      string      `json:"source"`
	Own         bool        `json:"own"` // the pair is the society's
	Contested   []Contested `json:"contested,omitempty"`
}

// DoubleLine is a double of a species on display.
type DoubleLine struct {
	Double
	Plates        []WarnedPlate `json:"plates"` // of the gathered one
	PoisonousHere bool          `json:"poisonous_here"`
}

func seeWarnings(r *request) (Warnings, error) {
	s, err := safety.WarningSheet(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return Warnings{}, err
	}
	say := r.say()
	w := Warnings{ChangeSeq: s.Seq, Knowledge: r.hall().Knowledge.Revision, Final: s.Final, Lacks: said(say, s.Lacks),
		Nameless: warned(s.Nameless), NoEntry: warned(s.NoEntry), Eaten: said(say, s.Eaten), Caution: say.Text(s.Caution)}
	if s.Contact != nil {
		c := s.Sheet.Contact
		w.Contact = &Contact{Name: c.Name, Phone: c.Phone, TypedBy: c.TypedBy, TypedAt: c.TypedAt, TestedBy: c.TestedBy, TestedAt: c.TestedAt}
	}
	for _, l := range s.Here {
		w.Here = append(w.Here, HereLine{Taxon: l.Taxon, Finding: finding(l.Finding), Onset: say.Text(l.Onset),
			Plates: warned(l.Plates), MistakenFor: doubles(l.MistakenFor)})
	}
	for _, l := range s.Wide {
		w.Wide = append(w.Wide, wideLine(l))
	}
	for _, l := range s.Doubles {
		w.Doubles = append(w.Doubles, DoubleLine{Double: double(l.Double), Plates: warned(l.Plates), PoisonousHere: l.PoisonousHere})
	}
	return w, nil
}

func said(say message.Printer, texts []message.Text) []string {
	out := make([]string, 0, len(texts))
	for _, t := range texts {
		out = append(out, say.Text(t))
	}
	return out
}

func warned(plates []hazard.Standing) []WarnedPlate {
	out := make([]WarnedPlate, 0, len(plates))
	for _, p := range plates {
		out = append(out, WarnedPlate{Number: p.Number, Table: p.Table, State: string(p.State), Names: p.Names})
	}
	return out
}

func wideLine(l hazard.WideLine) WideLine {
	out := WideLine{Name: l.Name, Worst: finding(l.Worst), Plates: warned(l.Plates)}
	if l.Nearer != nil {
		nearer := finding(*l.Nearer)
		out.Nearer = &nearer
	}
	for _, f := range l.Others {
		out.Others = append(out.Others, finding(f))
	}
	return out
}

func doubles(all []hazard.Double) []Double {
	out := make([]Double, 0, len(all))
	for _, d := range all {
		out = append(out, double(d))
	}
	return out
}

// double turns a mistake round to its two sides: it is stored as seen from one of them.
func double(d hazard.Double) Double {
	out := Double{Gathered: d.Matched, Poisonous: d.Other, Severity: d.Severity, Differences: d.Differences, Source: d.Source, Own: d.Own != "", Contested: contested(d.Contests)}
	if d.Role == hazard.Poisonous {
		out.Gathered, out.Poisonous = d.Other, d.Matched
	}
	if d.Syndrome != nil {
		out.Syndrome = d.Syndrome.Key
	}
	return out
}
