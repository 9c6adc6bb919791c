package list

import (
	"slices"
	"strings"

	"forayhall/internal/tally"
)

// Part is which finds a list is made of: those of one public site or of one day; the zero value is all.
// What the public does not learn of a find keeps it from every part but the whole.
type Part struct {
	Site string // code
	Day  string // ISO date
}

// Site is a site of which the public may know.
type Site struct{ Code, Name string }

func (p Part) of(finds []tally.Find) []tally.Find {
	if p == (Part{}) {
		return finds
	}
	return slices.DeleteFunc(slices.Clone(finds), func(f tally.Find) bool {
		return p.Site != "" && !strings.EqualFold(f.Site, p.Site) || p.Day != "" && f.Day != p.Day
	})
}

func sitesOf(finds []tally.Find) []Site {
	var sites []Site
	for _, f := range finds {
		if f.Site != "" {
			sites = append(sites, Site{f.Site, f.Place})
		}
	}
	slices.SortFunc(sites, func(a, b Site) int { return strings.Compare(a.Name+"\x00"+a.Code, b.Name+"\x00"+b.Code) })
	return slices.Compact(sites)
}

func daysOf(finds []tally.Find) []string {
	var days []string
	for _, f := range finds {
		if f.Day != "" {
			days = append(days, f.Day)
		}
	}
	slices.Sort(days)
	return slices.Compact(days)
}
