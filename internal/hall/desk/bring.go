package desk

import (
	"slices"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
)

// bring carries what is in question of one plate onto another, in the words of those who said it. beside: what the
// other was itself is written down too, since a group stands for a plate only while it has no name. Nobody but who said
// it takes back what is brought.
func bring(w *hall.Write, from hall.Plate, onto *hall.Plate, beside bool, why string) error {
	words, err := brought(w, from, *onto)
	if err != nil || len(words) == 0 {
		return err
	}
	if beside {
		own, err := groupSlip(w, *onto)
		if err != nil {
			return err
		}
		if err := w.AddFieldName(onto, own); err != nil {
			return err
		}
	}
	slips, err := foray.CarryOver(words, onto.Standing)
	if err != nil {
		return err
	}
	for _, slip := range slips {
		slip.CarriedFrom = from.ID
		slip.Remarks = message.For(message.English).Say(why, "number", from.Number().String())
		if err := w.AddFieldName(onto, slip); err != nil {
			return err
		}
	}
	return nil
}

// brought is what is in question of a plate, with its group as a name where the group is in question and would be
// forgotten: the other plate is of another group, or has a name.
func brought(w *hall.Write, from, onto hall.Plate) ([]foray.Slip, error) {
	words := from.Standing.Words
	stays := from.FormGroup == onto.FormGroup && (!from.Unnamed() || onto.Unnamed())
	if stays || !from.GroupInQuestion() {
		return words, nil
	}
	slip, err := groupSlip(w, from)
	return append(slices.Clone(words), slip), err
}

// groupSlip is a plate's group as a field name, by whoever logged it.
func groupSlip(w *hall.Write, p hall.Plate) (foray.Slip, error) {
	text := p.FormGroup
	for _, g := range w.Hall.Knowledge.Groups {
		if g.Key == text {
			text = g.Name
		}
	}
	name, err := w.ReadName(hall.NameInput{Text: text}, 1, nil)
	return foray.Slip{Determiner: p.LoggedBy, Names: []foray.SlipName{name}, CarriedFrom: p.ID}, err
}
