package bench

import (
	"slices"
	"strings"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/store"
)

// Looked is an answer to one sign.
type Looked struct {
	Sign   string     `json:"sign"` // hazard.Sign's id
	Answer foray.Seen `json:"answer"`
}

// Suspects lists what of the deadly kinds any of the names, signed on this plate, may be or is mistaken for, with the signs
// to look for; the most dangerous first, each once, and none of which no sign is known.
func Suspects(h *hall.Hall, event store.Event, p hall.Plate, written ...string) []hazard.Suspect {
	var all []hazard.Suspect
	for _, w := range written {
		if strings.TrimSpace(w) == "" {
			continue
		}
		for _, one := range h.Knowledge.Hazards.Suspects(w, InQuestion(p), event.Region) {
			i := slices.IndexFunc(all, func(x hazard.Suspect) bool { return x.Name == one.Name })
			switch {
			case len(one.Signs) == 0:
			case i < 0:
				all = append(all, one)
			default:
				all[i].Double, all[i].Rival = all[i].Double && one.Double, all[i].Rival && one.Rival
			}
		}
	}
	slices.SortStableFunc(all, func(x, y hazard.Suspect) int { return y.Severity - x.Severity })
	return all
}

// InQuestion is the names in question of a plate as they are written.
func InQuestion(p hall.Plate) []string {
	texts := make([]string, len(p.Standing.Question))
	for i, q := range p.Standing.Question {
		texts[i] = hall.Written(q.SlipName)
	}
	return texts
}

// lookedFor is every sign that the signed name asks for with its answer, NotRecorded where there is none, and what was
// answered for the other names in question: somebody looked, whatever the name became.
func lookedFor(w *hall.Write, p hall.Plate, name foray.SlipName, given []Looked) ([]foray.Look, error) {
	event, err := w.Event()
	if err != nil {
		return nil, err
	}
	a := answers{given: map[string]foray.Seen{}}
	for _, g := range given {
		if !slices.Contains(foray.Answers, g.Answer) && g.Answer != foray.NotRecorded {
			return nil, fault.Wrong("looked", "bench.answer-unknown", "answer", string(g.Answer))
		}
		a.given[g.Sign] = g.Answer
	}
	a.take(Suspects(w.Hall, event, p, hall.Written(name)), true)
	a.take(Suspects(w.Hall, event, p, InQuestion(p)...), false)
	for _, g := range given {
		if g.Answer != foray.NotRecorded && !a.has(g.Sign) {
			return nil, fault.Wrong("looked", "bench.sign-unknown", "sign", g.Sign)
		}
	}
	return a.looked, nil
}

// answers joins what was asked with what was answered.
type answers struct {
	given  map[string]foray.Seen // by sign
	looked []foray.Look
}

// take adds the signs of suspects; those without an answer only where the signed name asks for them.
func (a *answers) take(suspects []hazard.Suspect, signed bool) {
	for _, s := range suspects {
		for _, sign := range s.Signs {
			answer, answered := a.given[sign.ID()]
			if !answered {
				answer = foray.NotRecorded
			}
			if !a.has(sign.ID()) && (signed || answer != foray.NotRecorded) {
				a.looked = append(a.looked, foray.Look{Of: s.Name, Sign: sign.ID(), Words: sign.Text, Answer: answer})
			}
		}
	}
}

func (a *answers) has(sign string) bool {
	return slices.ContainsFunc(a.looked, func(l foray.Look) bool { return l.Sign == sign })
}
