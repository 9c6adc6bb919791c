package hall

import (
	"strconv"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/store"
)

// TeamWritten finds a team of the event by its id or number; NotFound where there is none.
func (l *Look) TeamWritten(written string) (store.Team, error) {
	teams, err := l.Tx.Teams(l.Scope.Society, l.Scope.Event)
	return first(teams, err, func(t store.Team) bool { return isWritten(written, t.ID, t.Number) })
}

// TableWritten finds a table of the event by its id or number; NotFound where there is none.
func (l *Look) TableWritten(written string) (store.HallTable, error) {
	tables, err := l.Tx.HallTables(l.Scope.Society, l.Scope.Event)
	return first(tables, err, func(t store.HallTable) bool { return isWritten(written, t.ID, t.Number) })
}

// SiteWritten finds a site of the event by its id, code or name; NotFound where there is none.
func (l *Look) SiteWritten(written string) (store.Site, error) {
	written = strings.TrimSpace(written)
	sites, err := l.Tx.Sites(l.Scope.Society, l.Scope.Event)
	return first(sites, err, func(s store.Site) bool {
		return s.ID.String() == written || strings.EqualFold(s.Code, written) || strings.EqualFold(s.Name, written)
	})
}

// CollectionWritten finds a collection by its number as people write it at the event, plate or not: Invalid where it
// cannot be read, NotFound where nothing bears it.
func (l *Look) CollectionWritten(written string) (store.Collection, error) {
	event, err := l.Event()
	if err != nil {
		return store.Collection{}, err
	}
	n, err := foray.ParseNumber(written, event.Code)
	if err != nil {
		return store.Collection{}, err
	}
	return l.Tx.CollectionByNumber(l.Scope.Society, l.Scope.Event, n)
}

// Leads reports whether a team is the actor's own to run: its leader's, and the organiser's.
func (l *Look) Leads(t store.Team) bool {
	own := l.Actor.SignedIn() && t.LeaderID == l.Actor.Person
	return l.Held.Can(access.RunOwnTeam) && (own || l.Held.Can(access.SetUp))
}

func isWritten(written string, id foray.ID, number int) bool {
	written = strings.TrimSpace(written)
	return id.String() == written || strconv.Itoa(number) == written
}

func first[T any](all []T, err error, is func(T) bool) (none T, _ error) {
	if err != nil {
		return none, err
	}
	for _, one := range all {
		if is(one) {
			return one, nil
		}
	}
	return none, fault.Missing()
}
