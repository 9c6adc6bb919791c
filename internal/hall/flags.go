package hall

import (
	"slices"
	"strings"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// The flags that a taxon may carry where the event takes place.
const (
	Protected  = "protected"  // photographed, not picked
	Controlled = "controlled" // a controlled substance
)

// FlagKinds lists the flags.
var FlagKinds = []string{Protected, Controlled}

// Flagged is a flag that falls on a plate, and how surely.
type Flagged struct {
	store.TaxonFlag
	// Perhaps: the name in question is a wider one that may turn out to be the flagged taxon.
	Perhaps bool
}

// Text says what the flag means for whoever holds the plate.
func (f Flagged) Text() message.Text {
	key := "flag." + f.Flag
	switch {
	case f.Perhaps:
		key += ".perhaps"
	case f.Permit != "":
		key += ".permitted"
	}
	return message.T(key, "name", f.Name, "source", f.Source, "permit", f.Permit)
}

// Forbids reports whether the flag keeps a plate from there: off display and out of the dryer, unless a permit names the
// taxon. A wider name forbids nothing, or every plate named to genus would be kept from its table.
func (f Flagged) Forbids(where foray.Whereabouts) bool {
	kept := where.Shown() || where == foray.InDryer
	return kept && f.Permit == "" && !f.Perhaps
}

// FlagsOn picks the flags that fall on any of the names: doubt widens a warning, so that "cf. X" and "aff. X" carry the
// flag of X, and a former name that of the current one.
func (h *Hall) FlagsOn(flags []store.TaxonFlag, names []foray.SlipName) []Flagged {
	var on []Flagged
	for _, flag := range flags {
		falls, perhaps := false, true
		for _, n := range names {
			hit, wider := h.falls(flag, n)
			falls, perhaps = falls || hit, perhaps && (!hit || wider)
		}
		if falls {
			on = append(on, Flagged{TaxonFlag: flag, Perhaps: perhaps})
		}
	}
	return on
}

// falls reports whether a flag falls on a name, and whether only because the name is a wider one.
func (h *Hall) falls(flag store.TaxonFlag, n foray.SlipName) (hit, wider bool) {
	flagged, named := h.keysOf(flag.NameKey, flag.CurrentKey), h.keysOf(n.Key, n.CurrentKey)
	for _, f := range flagged {
		for _, k := range named {
			switch {
			case k == f, within(k, f), h.classified(k, f):
				return true, false
			case within(f, k), h.classified(f, k):
				hit = true
			}
		}
	}
	return hit, hit
}

// keysOf is the keys under which a name is known: as written and as it is called now.
func (h *Hall) keysOf(keys ...string) []string {
	for _, k := range keys {
		if n, ok := h.Knowledge.Names.Lookup(k); ok {
			keys = append(keys, n.Current().Key)
		}
	}
	slices.Sort(keys)
	return slices.DeleteFunc(slices.Compact(keys), func(k string) bool { return k == "" })
}

// within reports whether a name is written below another: a species below its genus, a variety below its species.
func within(key, above string) bool { return strings.HasPrefix(key, above+" ") }

// classified reports whether the classification puts a name into a family, order or section.
func (h *Hall) classified(key, above string) bool {
	n, ok := h.Knowledge.Names.Lookup(key)
	if !ok {
		return false
	}
	for _, wide := range []string{n.Section, n.Family, n.Order, n.Class} {
		if wide != "" && taxon.Key(wide) == above {
			return true
		}
	}
	return false
}

// Asked is the names in question of a plate.
func (p *Plate) Asked() []foray.SlipName {
	names := make([]foray.SlipName, len(p.Standing.Question))
	for i, a := range p.Standing.Question {
		names[i] = a.SlipName
	}
	return names
}

// FlagsOf is the flags that fall on a plate of the scope's event.
func (l *Look) FlagsOf(p Plate) ([]Flagged, error) {
	flags, err := l.Tx.TaxonFlags(l.Scope.Society, l.Scope.Event)
	return l.Hall.FlagsOn(flags, p.Asked()), err
}

// PermitFlagged refuses table and dryer to a plate whose flag keeps it from there.
func (l *Look) PermitFlagged(p Plate, where foray.Whereabouts) error {
	flags, err := l.FlagsOf(p)
	if err != nil {
		return err
	}
	for _, f := range flags {
		if f.Forbids(where) {
			return fault.New(fault.Refused, "flag.refused", "number", p.Number().String(), "flag", message.T("flag."+f.Flag+".word"), "name", f.Name)
		}
	}
	return nil
}

// flaggedGridM is the finest that a flagged find's place is ever shown: the 10 km square in which sensitive records
// are commonly given out (common practice).
const flaggedGridM = 10000

// Places is where the plates of an event were found, as the public may see it. What any event of the society keeps back is
// kept back at each, also where it became sensitive later; only what was signed stays as it was.
type Places struct {
	hall  *Hall
	flags []store.TaxonFlag
	sites map[foray.ID]store.Site
}

// Places reads them.
func (l *Look) Places() (Places, error) {
	a, err := l.KeptBackAnywhere()
	p := Places{hall: l.Hall, flags: a.flags, sites: map[foray.ID]store.Site{}}
	for _, s := range a.Sites {
		if s.EventID == l.Scope.Event {
			p.sites[s.ID] = a.Strict(s)
		}
	}
	return p, err
}

// Code is the code of a site; empty where it is none of the event's. Whether it may be told is for Of to say.
func (p Places) Code(site foray.ID) string { return p.sites[site].Code }

// Of is the public place of a site, generalised where any name is flagged: the coarser of the site's own grid and 10 km.
func (p Places) Of(site foray.ID, names ...foray.SlipName) foray.PublicPlace {
	s, known := p.sites[site]
	if !known {
		return foray.PublicPlace{}
	}
	place := foray.ExactPlace{Name: s.Name, Latitude: s.Latitude, Longitude: s.Longitude, UncertaintyM: s.UncertaintyM,
		GridM: s.GridM, Sensitive: s.Sensitive}
	for _, f := range p.hall.FlagsOn(p.flags, names) {
		if !f.Perhaps {
			place.Sensitive, place.GridM = true, max(s.GridM, flaggedGridM)
		}
	}
	return place.Public()
}

// OfPlate is where a plate is from.
func (p Places) OfPlate(plate *Plate) foray.PublicPlace {
	if len(p.flags) == 0 {
		return p.Of(plate.SiteID)
	}
	return p.Of(plate.SiteID, plate.Asked()...)
}
