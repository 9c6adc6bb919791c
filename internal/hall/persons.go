package hall

import (
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// PeopleNames is the people of the society by id.
func (l *Look) PeopleNames() (map[foray.ID]store.Person, error) {
	persons, err := l.Tx.Persons(l.Scope.Society)
	if err != nil {
		return nil, err
	}
	by := make(map[foray.ID]store.Person, len(persons))
	for _, p := range persons {
		by[p.ID] = p
	}
	return by, nil
}

// CreditedName is how a person's name is printed where anybody may read it.
func CreditedName(p store.Person) string {
	switch p.Credit {
	case "none":
		return ""
	case "initials":
		var b strings.Builder
		for _, word := range strings.FieldsFunc(p.Name, func(r rune) bool { return r == ' ' || r == '-' }) {
			for _, r := range word {
				b.WriteRune(r)
				b.WriteByte('.')
				break
			}
		}
		return b.String()
	}
	return p.Name
}

// PersonNamed finds somebody of the society by name, or adds them: the best people do not have an account.
func (w *Write) PersonNamed(name string) (foray.ID, error) {
	name = strings.Join(strings.Fields(name), " ")
	if name == "" {
		return foray.ID{}, nil
	}
	if len(name) > 200 {
		return foray.ID{}, fault.Wrong("collector", "text.too-long", "most", 200)
	}
	persons, err := w.Tx.Persons(w.Scope.Society)
	if err != nil {
		return foray.ID{}, err
	}
	for _, p := range persons {
		if taxon.Fold(p.Name) == taxon.Fold(name) {
			return p.ID, nil
		}
	}
	id, err := w.NewID()
	if err != nil {
		return foray.ID{}, err
	}
	w.Note("person.add", id, name)
	return id, w.Tx.AddPerson(store.Person{SocietyID: w.Scope.Society, ID: id, Name: name, Credit: "full", Kind: "person", CreatedAt: w.Stamp()})
}

// Determiners lists who may determine at the event, with or without an account, by name.
func (l *Look) Determiners() ([]store.Person, error) {
	rights, err := l.Tx.EventRights(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return nil, err
	}
	may := map[foray.ID]bool{}
	for _, r := range rights {
		may[r.PersonID] = may[r.PersonID] || access.Allows(r.Held, access.SignOff)
	}
	persons, err := l.Tx.Persons(l.Scope.Society)
	if err != nil {
		return nil, err
	}
	var determiners []store.Person
	for _, p := range persons {
		if may[p.ID] {
			determiners = append(determiners, p)
		}
	}
	return determiners, nil
}

// MayDetermine reports whether a person may determine at the event.
func (l *Look) MayDetermine(person foray.ID) (bool, error) {
	rights, err := l.Tx.RightsOf(l.Scope.Society, l.Scope.Event, person)
	if err != nil {
		return false, err
	}
	for _, r := range rights {
		if access.Allows(r, access.SignOff) {
			return true, nil
		}
	}
	return false, nil
}
