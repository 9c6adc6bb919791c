package people

import (
	"slices"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/store"
)

// mayBeInvited refuses whoever signs in already, for they are given rights in the set-up, and whoever the maker of the
// invitation does not answer for.
func mayBeInvited(tx *store.Tx, i store.Invitation) error {
	person, err := tx.PersonByID(i.SocietyID, i.PersonID)
	if err != nil {
		return err
	}
	if person.Kind != "person" {
		return fault.Missing()
	}
	state, err := stateOfKnown(tx, i)
	switch {
	case err != nil:
		return err
	case state == InvitationUsed:
		return fault.Wrong("person", "people.has-account", "name", person.Name)
	case state == InvitationElsewhere:
		return fault.Wrong("person", "people.known-elsewhere", "name", person.Name)
	}
	return nil
}

// stateOfKnown is what became of an invitation for somebody whom the records know. It is asked when it is made and again
// when it is opened and used: rights are given in between.
func stateOfKnown(tx *store.Tx, i store.Invitation) (InvitationState, error) {
	account, err := tx.AccountOf(i.SocietyID, i.PersonID)
	if err == nil && account.PasswordHash != store.NoPassword {
		return InvitationUsed, nil // by another link
	}
	if err != nil && !fault.Is(err, fault.NotFound) {
		return "", err
	}
	answers, err := answersFor(tx, i.SocietyID, i.MadeBy, i.PersonID)
	if err != nil || answers {
		return InvitationOpen, err
	}
	return InvitationElsewhere, nil
}

// answersFor reports whether a maker of invitations organises every event that a sign-in as somebody opens: where they
// hold a right, and where they stand on a team's sheet, which has their telephone number and what they told of their
// health. Any member may make an event and is its organiser, and whoever makes a link can open it: without this a link
// would be the way to anybody's rights elsewhere.
//
// An invitation to the society only is held to the same, for the sign-in it makes is the same wherever the link leads.
// More is not asked. That somebody found or named things elsewhere keeps nobody from inviting them: else nobody who was
// ever at a foray could be invited to the next by its organiser. A command on the machine answers for everybody.
func answersFor(tx *store.Tx, society, maker, person foray.ID) (bool, error) {
	by, err := tx.PersonByID(society, maker)
	if err != nil || by.Kind == "installation" {
		return err == nil, err
	}
	opens, err := tx.SheetsNaming(society, person)
	if err != nil {
		return false, err
	}
	theirs, err := tx.RightsHeld(society, person)
	if err != nil {
		return false, err
	}
	for _, r := range theirs {
		opens = append(opens, r.EventID)
	}
	own, err := tx.RightsHeld(society, maker)
	return !slices.ContainsFunc(opens, func(event foray.ID) bool { return !organises(own, event) }), err
}

func organises(rights []store.EventRight, event foray.ID) bool {
	return slices.ContainsFunc(rights, func(r store.EventRight) bool { return r.EventID == event && r.Held == access.Organiser })
}
