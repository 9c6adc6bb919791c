package hall

import (
	"strconv"

	"forayhall/internal/foray"
	"forayhall/internal/hazard"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// WarningSheet makes the sheet of the scope's event from every plate in the hall, whatever its state, with the newest
// poison contact, nil where none was typed in.
func (l *Look) WarningSheet(event store.Event) (hazard.Sheet, *store.PoisonContact, error) {
	in := hazard.SheetInput{Region: event.Region}
	people, err := l.PeopleNames()
	if err != nil {
		return hazard.Sheet{}, nil, err
	}
	contact, err := l.newestContact()
	if err != nil {
		return hazard.Sheet{}, nil, err
	}
	if contact != nil {
		in.Contact = hazard.Contact{Name: contact.Name, Phone: contact.Phone, TypedBy: onPaper(people[contact.TypedBy]), TypedAt: contact.TypedAt.Time,
			TestedBy: onPaper(people[contact.TestedBy]), TestedAt: contact.TestedAt.Time}
	}
	titles, err := l.TableNames()
	if err != nil {
		return hazard.Sheet{}, nil, err
	}
	plates, err := l.Plates()
	for _, p := range plates {
		if p.Whereabouts.InHall() && p.Standing.Naming != foray.NotAFungus {
			in.Plates = append(in.Plates, sheetPlate(l.Hall, p, titles))
		}
	}
	return l.Hall.Knowledge.Hazards.MakeSheet(in), contact, err
}

func (l *Look) newestContact() (*store.PoisonContact, error) {
	contacts, err := l.Tx.PoisonContacts(l.Scope.Society, l.Scope.Event)
	if err != nil || len(contacts) == 0 {
		return nil, err
	}
	return &contacts[0], nil
}

// onPaper is how somebody chose to be named on paper; whoever chose no name is the safety lead, and nobody is nobody.
func onPaper(p store.Person) string {
	if name := CreditedName(p); name != "" || p.ID.IsZero() {
		return name
	}
	return message.For(message.English).Say("safety.lead-unnamed")
}

func sheetPlate(h *Hall, p Plate, titles map[foray.ID]string) hazard.Plate {
	plate := hazard.Plate{Number: p.Number().String(), Table: titles[p.TableID], Group: p.FormGroup, State: hazard.BroughtIn}
	switch {
	case p.Standing.Disputed:
		plate.State = hazard.Disputed
	case p.Standing.Naming == foray.Confirmed:
		plate.State = hazard.Confirmed
	case p.Standing.Naming == foray.Provisional:
		plate.State = hazard.Provisional
	}
	for _, a := range p.Standing.Question {
		plate.Names = append(plate.Names, Written(a.SlipName))
		accepted := ""
		if n := h.Current(a.SlipName); n != nil {
			accepted = n.Name
		}
		plate.Accepted = append(plate.Accepted, accepted)
	}
	return plate
}

// TableNames is how the event's tables are called, by id.
func (l *Look) TableNames() (map[foray.ID]string, error) {
	tables, err := l.Tx.HallTables(l.Scope.Society, l.Scope.Event)
	names := make(map[foray.ID]string, len(tables))
	for _, t := range tables {
		names[t.ID] = TableName(t)
	}
	return names, err
}

// TableName is how a table is called: its number, and its title where it has one.
func TableName(t store.HallTable) string {
	if t.Title == "" {
		return strconv.Itoa(t.Number)
	}
	return strconv.Itoa(t.Number) + " " + t.Title
}
