package pages

import (
	"slices"
	"strconv"
	"strings"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hazard"
	"forayhall/web/view"
)

// suspects is what any of the names may be or is mistaken for of the deadly kinds.
func (r *request) suspects(s bench.Sight, written ...string) []hazard.Suspect {
	return bench.Suspects(r.hall(), s.Event, s.Plate, written...)
}

// lookFor is the part of a sign-off that asks for the signs of what is dangerous, with what was answered.
func (r *request) lookFor(suspects []hazard.Suspect, of func(string) string, answered []string) []view.LookFor {
	list := make([]view.LookFor, len(suspects))
	for i, one := range suspects {
		l := view.LookFor{Name: r.sciWritten(one.Name), Hazard: view.Hazard{Severity: one.Severity, Syndrome: one.Syndrome.Name}, Double: one.Double, Rival: one.Rival,
			Shown: one.Name, Quick: of(view.LookQuick + strconv.Itoa(i))}
		for _, sign := range one.Signs {
			s := view.SignToSee{ID: sign.ID(), Words: sign.Text, HiddenBy: sign.HiddenBy}
			for _, a := range foray.Answers {
				answer := answerOf(sign, a)
				s.Answers = append(s.Answers, view.Option{Value: answer, Text: view.T("signs." + string(a)), Chosen: slices.Contains(answered, answer)})
			}
			l.Signs = append(l.Signs, s)
		}
		list[i] = l
	}
	return list
}

// answerOf is how a form posts one answer.
func answerOf(sign hazard.Sign, a foray.Seen) string { return sign.ID() + "=" + string(a) }

// looked reads the answers of a sign-off. A name whose signs were not on the form comes back once with them: it was
// written, or its doubles are others than those of the names in question.
func (r *request) looked(s bench.Sight, name hall.NameInput) ([]bench.Looked, error) {
	shown, err := r.values(view.LookShown)
	if err != nil {
		return nil, err
	}
	if len(shown) == 0 || !r.maySign(s) { // no form of this page, or the command will refuse
		return nil, nil
	}
	shown = slices.DeleteFunc(shown, func(name string) bool { return name == "" })
	written := name.Text
	if name.Qualifier != "" {
		written = hall.Written(foray.SlipName{Verbatim: name.Text, Name: name.Text, Qualifier: name.Qualifier})
	}
	for _, one := range r.suspects(s, written) {
		if !one.Wide && !slices.Contains(shown, one.Name) { // that a name stops at its genus is a result, and nothing to hold up
			return nil, fault.Wrong("looked", "sign.look-first", "name", one.Name)
		}
	}
	answered, err := r.values(view.LookAt)
	if err != nil {
		return nil, err
	}
	var looked []bench.Looked
	for _, a := range answered {
		if sign, answer, ok := strings.Cut(a, "="); ok {
			looked = append(looked, bench.Looked{Sign: sign, Answer: foray.Seen(answer)})
		}
	}
	for i, name := range shown {
		all := foray.Seen(r.value(view.LookQuick + strconv.Itoa(i)))
		for _, sign := range r.hall().Knowledge.Hazards.Signs(name) {
			one := func(l bench.Looked) bool { return l.Sign == sign.ID() }
			if all != "" && !slices.ContainsFunc(looked, one) {
				looked = append(looked, bench.Looked{Sign: sign.ID(), Answer: all})
			}
		}
	}
	return looked, nil
}

// signsLooked is what was looked for before a slip was signed, by dangerous fungus.
func (r *request) signsLooked(looked []foray.Look) []view.SignsLooked {
	var list []view.SignsLooked
	at := map[string]int{}
	for _, l := range looked {
		i, there := at[l.Of]
		if !there {
			i = len(list)
			at[l.Of] = i
			list = append(list, view.SignsLooked{Of: r.sciWritten(l.Of)})
		}
		if l.Answer == foray.NotRecorded {
			list[i].Left++
			continue
		}
		list[i].Lines = append(list[i].Lines, view.SignLooked{Words: l.Words, Answer: string(l.Answer)})
	}
	return list
}
