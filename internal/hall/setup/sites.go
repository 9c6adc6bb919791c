package setup

import (
	"context"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Site is a site to be made.
type Site struct {
	Code         string   `json:"code"`
	Name         string   `json:"name"`
	Latitude     *float64 `json:"latitude,omitempty"`
	Longitude    *float64 `json:"longitude,omitempty"`
	UncertaintyM int      `json:"uncertainty_m,omitempty"`
	GridM        int      `json:"grid_m,omitempty"`
	Sensitive    bool     `json:"sensitive,omitempty"`
	Permitted    bool     `json:"permitted"`
	Directions   string   `json:"directions,omitempty"`
	Permit       string   `json:"permit,omitempty"`       // its terms in words
	CountNeeded  bool     `json:"count_needed,omitempty"` // the permit asks for fruitbodies or weight
}

// SiteChange is a site as it is to be described; its code stays.
type SiteChange struct {
	ID   foray.ID `json:"id"`
	Site Site     `json:"site"`
}

const (
	// mostGridM is the widest grid, and the widest uncertainty, in metres: 100 km, the largest square of common atlases.
	mostGridM = 100000
	// leastGridM is the finest grid in which a sensitive site is shown, in metres.
	leastGridM = 1000
	mostWords  = 2000
)

// AddSite makes a site.
func AddSite(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Site) (Made, error) {
	cmd.Type, cmd.Body = "site.add.v1", in
	return addTo(ctx, h, actor, scope, cmd, "site", func(w *hall.Write, id foray.ID) error {
		s := store.Site{SocietyID: scope.Society, EventID: scope.Event, ID: id, Code: strings.ToUpper(strings.TrimSpace(in.Code)), CreatedAt: w.Stamp()}
		if s.Code == "" || len(s.Code) > 20 {
			return fault.Wrong("name", "setup.name-missing")
		}
		if err := in.fill(&s); err != nil {
			return err
		}
		sites, err := w.Tx.Sites(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		for _, other := range sites {
			if other.Code == s.Code {
				return fault.Wrong("code", "setup.site-taken", "code", s.Code)
			}
		}
		return w.Tx.AddSite(s)
	})
}

// ChangeSite describes a site anew.
func ChangeSite(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in SiteChange) (Made, error) {
	cmd.Type, cmd.Body = "site.change.v1", in
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (Made, error) {
		s, err := siteByID(w, in.ID)
		if err != nil {
			return Made{}, err
		}
		was := SiteOf(s)
		if err := in.Site.fill(&s); err != nil {
			return Made{}, err
		}
		return changed(w, "site", s.ID, was, w.Tx.SetSite(s))
	})
}

// SiteOf is how a site is described now.
func SiteOf(s store.Site) Site {
	return Site{Code: s.Code, Name: s.Name, Latitude: s.Latitude, Longitude: s.Longitude, UncertaintyM: s.UncertaintyM, GridM: s.GridM,
		Sensitive: s.Sensitive, Permitted: s.Permitted, Directions: s.Directions, Permit: s.Permit, CountNeeded: s.CountNeeded}
}

func (in Site) fill(s *store.Site) error {
	s.Name, s.Latitude, s.Longitude = tidy(in.Name), in.Latitude, in.Longitude
	s.UncertaintyM, s.GridM, s.Sensitive, s.Permitted = in.UncertaintyM, max(in.GridM, leastGridM), in.Sensitive, in.Permitted
	s.Directions, s.Permit, s.CountNeeded = strings.TrimSpace(in.Directions), strings.TrimSpace(in.Permit), in.CountNeeded
	switch {
	case s.Name == "" || len(s.Name) > mostName:
		return fault.Wrong("name", "setup.name-missing")
	case (s.Latitude == nil) != (s.Longitude == nil), s.Latitude != nil && !(*s.Latitude >= -90 && *s.Latitude <= 90),
		s.Longitude != nil && !(*s.Longitude >= -180 && *s.Longitude <= 180):
		return fault.Wrong("latitude", "setup.point")
	case in.GridM < 0 || in.GridM > mostGridM || in.UncertaintyM < 0 || in.UncertaintyM > mostGridM:
		return fault.Wrong("grid_m", "setup.grid", "most", mostGridM)
	case len(s.Directions) > mostWords:
		return fault.Wrong("directions", "text.too-long", "most", mostWords)
	case len(s.Permit) > mostWords:
		return fault.Wrong("permit", "text.too-long", "most", mostWords)
	}
	return nil
}

func siteByID(w *hall.Write, id foray.ID) (store.Site, error) {
	sites, err := w.Tx.Sites(w.Scope.Society, w.Scope.Event)
	for _, s := range sites {
		if s.ID == id {
			return s, err
		}
	}
	return store.Site{}, missing(err)
}

// missing is what a look-up that met nothing answers.
func missing(err error) error {
	if err != nil {
		return err
	}
	return fault.Missing()
}

// siteID is a site by its id, code or name; nothing written is no site.
func siteID(w *hall.Write, written string) (foray.ID, error) {
	if written == "" {
		return foray.ID{}, nil
	}
	s, err := w.SiteWritten(written)
	if fault.Is(err, fault.NotFound) {
		err = fault.Wrong("site", "field.site-unknown", "site", written)
	}
	return s.ID, err
}
