package fieldwork

import (
	"slices"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Site is a site as somebody may choose it: never where it is.
type Site struct {
	ID    foray.ID
	Label string
}

// sitesFor lists the sites that the actor may read and name: staff those of the event, others those that are not
// sensitive and those where they walk themselves. The name alone of a sensitive site can lead people there.
func sitesFor(l *hall.Look) ([]store.Site, error) {
	sites, err := l.Tx.Sites(l.Scope.Society, l.Scope.Event)
	if err != nil || l.Held.Staff() {
		return sites, err
	}
	anywhere, err := l.KeptBackAnywhere()
	if err != nil {
		return nil, err
	}
	hidden := func(s store.Site) bool { return anywhere.Strict(s).Sensitive }
	if !slices.ContainsFunc(sites, hidden) {
		return sites, nil
	}
	walked, err := sitesWalked(l)
	return slices.DeleteFunc(sites, func(s store.Site) bool { return hidden(s) && !walked[s.ID] }), err
}

// sitesWalked are the sites of the teams that the actor leads or walks with.
func sitesWalked(l *hall.Look) (map[foray.ID]bool, error) {
	teams, err := l.Tx.Teams(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return nil, err
	}
	members, err := l.Tx.TeamMembers(l.Scope.Society, l.Scope.Event, foray.ID{})
	walked := map[foray.ID]bool{}
	for _, t := range teams {
		on := func(m store.TeamMember) bool {
			return m.TeamID == t.ID && m.PersonID == l.Actor.Person && m.RemovedAt.IsZero()
		}
		if l.Actor.SignedIn() && (t.LeaderID == l.Actor.Person || slices.ContainsFunc(members, on)) {
			walked[t.SiteID] = true
		}
	}
	return walked, err
}
