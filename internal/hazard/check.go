package hazard

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"forayhall/internal/taxon"
)

var (
	exposures = []Exposure{Meal, Raw, Alcohol, Spores, Touch, Some, Soil}
	regions   = []string{"", "EU", "NA", "Asia", "Australasia", "both", "world"}
	evidences = []string{Reported, Suspected, InDispute}
	counted   = []string{"meal", "alcohol", "exposure"}
)

func checkSyndrome(s Syndrome) error {
	switch {
	case s.Key == "" || s.Name == "" || s.Plain == "":
		return errors.New("has no key, name or plain words")
	case s.Source == "":
		return errors.New("has no source")
	case s.Severity < 1 || s.Severity > 5:
		return fmt.Errorf("severity %d is not 1 to 5", s.Severity)
	case (s.OnsetMin == nil) != (s.OnsetMax == nil) || s.OnsetMin != nil && *s.OnsetMin > *s.OnsetMax:
		return errors.New("onset is not a span of hours")
	case !slices.Contains(counted, s.CountedFrom):
		return fmt.Errorf("hours are counted from %q, which is not one of %v", s.CountedFrom, counted)
	}
	return nil
}

func checkRow(r Row) error {
	switch {
	case r.Source == "":
		return errors.New("has no source")
	case !slices.Contains(exposures, r.Exposure):
		return fmt.Errorf("unknown exposure %q", r.Exposure)
	case r.Scope != AllOfIt && r.Scope != Unnamed:
		return fmt.Errorf("unknown scope %q", r.Scope)
	case !slices.Contains(evidences, r.Evidence):
		return fmt.Errorf("unknown evidence %q", r.Evidence)
	}
	return errors.Join(checkNames(r), checkRegion(r.Region))
}

func checkNames(r Row) error {
	if got := taxon.Read(r.Taxon).Rank; got != r.Rank || got == "" {
		return fmt.Errorf("%q does not read as a %s", r.Taxon, r.Rank)
	}
	for _, former := range r.Former {
		if taxon.Read(former).Rank == "" {
			return fmt.Errorf("former name %q does not read as a name", former)
		}
	}
	return nil
}

func checkRegion(region string) error {
	for part := range strings.SplitSeq(region, ";") {
		if !slices.Contains(regions, part) {
			return fmt.Errorf("unknown region %q", part)
		}
	}
	return nil
}

// inRegion says whether knowledge of a region holds for an event; a place that is not said is everywhere.
func inRegion(region, event string) bool {
	if event == "" || region == "" {
		return true
	}
	for part := range strings.SplitSeq(region, ";") {
		if part == event || part == "world" || part == "both" && (event == "EU" || event == "NA") {
			return true
		}
	}
	return false
}

func (b *Base) takeGroups(groups []Group) error {
	for _, g := range groups {
		switch {
		case g.Key == "" || g.Name == "":
			return fmt.Errorf("group %q: has no key or name", g.Key)
		case g.Source == "":
			return fmt.Errorf("group %q: has no source", g.Key)
		case g.SpoilsH <= 0:
			return fmt.Errorf("group %q: keeps for %d hours", g.Key, g.SpoilsH)
		case b.groups[taxon.Fold(g.Key)] != nil:
			return fmt.Errorf("group %q: is there twice", g.Key)
		}
		if b.isWord(taxon.Key(g.Key)) || b.isWord(taxon.Key(g.Name)) {
			return fmt.Errorf("group %q: is also the name of a taxon", g.Key)
		}
		for _, m := range g.Members {
			if r := taxon.Read(m).Rank; r != taxon.Genus && r != taxon.Family {
				return fmt.Errorf("group %q: %q does not read as a genus or family", g.Key, m)
			}
		}
		b.groups[taxon.Fold(g.Key)], b.groups[taxon.Fold(g.Name)] = &g, &g
	}
	return nil
}
