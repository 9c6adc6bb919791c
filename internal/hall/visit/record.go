package visit

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// Record is what a society knows of a taxon from all its events, under all of its names. What was cultivated is left out.
type Record struct {
	Finds Count
	Years []YearCount // newest first; what bears no year last
	Sites []SiteCount // most first; kept back and not said last
	Hosts []HostCount // most first; not said last
	Names []NameUse   // by first use
}

// Count is finds: plates, and records of what was seen and left there.
type Count struct {
	Confirmed int // confirmed, or stood for, without a doubt in the name
	Unsure    int // in question, disputed, or "cf."
}

// All is both.
func (c Count) All() int { return c.Confirmed + c.Unsure }

// YearCount is the finds of one year; 0 where none is known.
type YearCount struct {
	Year int
	Count
}

// SiteCount is the finds of one site of any event, as the public may know it.
type SiteCount struct {
	Site Site
	Count
}

// HostCount is the finds on one host; "" where none was said.
type HostCount struct {
	Host string
	Count
}

// NameUse is a name under which plates were signed off, with the years of the first and the last time.
type NameUse struct {
	foray.SlipName
	First, Last int
	Plates      int
}

// found is one find, with what the public may know of it.
type found struct {
	sure bool
	year int
	site Site
	host string
}

// record reads by the keys of the taxon's names and never the whole of another event.
func (g *gallery) record(keys []string) (Record, error) {
	society := g.Scope.Society
	plates, err := g.Tx.CollectionsNamed(society, keys)
	if err != nil {
		return Record{}, err
	}
	fields, err := g.Tx.FieldFinds(society, keys)
	if err != nil {
		return Record{}, err
	}
	used, err := g.Tx.NamesUsed(society, keys)
	if err != nil {
		return Record{}, err
	}
	events, err := g.Tx.Events(society)
	var finds []found
	for _, e := range events {
		if err == nil {
			finds, err = g.findsOf(finds, e, keys, plates, fields)
		}
	}
	r := counts(finds)
	zone := hall.Zone(g.event)
	for _, u := range used {
		r.Names = append(r.Names, NameUse{foray.SlipName{Key: u.NameKey, Name: u.Name, Author: u.Author, NameRank: u.NameRank, Qualifier: u.Qualifier,
			Position: u.QualifierPosition}, u.FirstAt.In(zone).Year(), u.LastAt.In(zone).Year(), u.Plates})
	}
	return r, err
}

// findsOf adds the finds of one event. Its sites and flags are its own.
func (g *gallery) findsOf(finds []found, e store.Event, keys []string, plates []store.Collection, fields []store.FieldFind) ([]found, error) {
	plates = slices.DeleteFunc(slices.Clone(plates), func(c store.Collection) bool { return c.EventID != e.ID || c.Cultivated })
	fields = slices.DeleteFunc(slices.Clone(fields), func(f store.FieldFind) bool { return f.EventID != e.ID })
	if len(plates)+len(fields) == 0 {
		return finds, nil
	}
	there := *g.Look
	there.Scope.Event = e.ID
	places, err := there.Places()
	if err != nil {
		return nil, err
	}
	read, err := g.replayed(e, plates)
	for _, p := range read {
		if bears, sure := bears(p, keys); bears {
			finds = append(finds, found{sure, yearPicked(p.Collection, e), publicSite(places.OfPlate(&p)), hall.HostOf(p.Host)})
		}
	}
	for _, f := range fields {
		seen := hall.SeenThere{FieldRecord: f.FieldRecord}.SlipName()
		finds = append(finds, found{f.Stood && !doubtful(seen), f.HappenedAt.In(hall.Zone(e)).Year(), publicSite(places.Of(f.SiteID, seen)), hall.HostOf(f.Host)})
	}
	return finds, err
}

func (g *gallery) replayed(e store.Event, plates []store.Collection) ([]hall.Plate, error) {
	ids := make([]foray.ID, len(plates))
	for i, c := range plates {
		ids[i] = c.ID
	}
	slips, err := g.Tx.SlipsOf(e.SocietyID, e.ID, ids)
	of := map[foray.ID][]foray.Slip{}
	for _, s := range slips {
		of[s.CollectionID] = append(of[s.CollectionID], s)
	}
	all := make([]hall.Plate, len(plates))
	for i, c := range plates {
		all[i] = hall.Plate{Collection: c, Slips: of[c.ID], Standing: foray.Replay(of[c.ID])}
	}
	return all, err
}

// bears reports whether one of the names is in question on a plate, and whether it is sure: confirmed under it.
func bears(p hall.Plate, keys []string) (in, sure bool) {
	for _, a := range p.Standing.Question {
		if !slices.Contains(keys, a.Key) {
			continue
		}
		in = true
		sure = sure || p.Standing.Naming == foray.Confirmed && a.Kind == foray.SignOff && !doubtful(a.SlipName)
	}
	return in, sure
}

// doubtful names are never counted as the name that they are near to.
func doubtful(n foray.SlipName) bool {
	q := taxon.Qualifier(n.Qualifier)
	return q == taxon.Confer || q == taxon.Affinis || q == taxon.Doubt
}

// yearPicked is the year in which a collection was picked: of the exact time, or of both ends of its range; the event's
// where nothing was said.
func yearPicked(c store.Collection, e store.Event) int {
	switch {
	case !c.PickedAt.IsZero():
		return c.PickedAt.In(hall.Zone(e)).Year()
	case c.PickedFrom != "" || c.PickedTo != "":
		from, to := yearOf(c.PickedFrom), yearOf(c.PickedTo)
		if from != to && c.PickedFrom != "" && c.PickedTo != "" {
			return 0
		}
		return max(from, to)
	}
	return yearOf(e.StartsOn)
}

func yearOf(date string) int {
	year, _, _ := strings.Cut(date, "-")
	n, err := strconv.Atoi(year)
	if err != nil {
		return 0
	}
	return n
}

func publicSite(place foray.PublicPlace) Site {
	return Site{Name: place.Name(), KeptBack: place.GeneralisedM() > 0}
}

func counts(finds []found) Record {
	years, sites, hosts := map[int]*YearCount{}, map[Site]*SiteCount{}, map[string]*HostCount{}
	var r Record
	for _, f := range finds {
		site, host := f.site, taxon.Fold(f.host)
		site.Name = taxon.Fold(site.Name)
		if years[f.year] == nil {
			years[f.year] = &YearCount{Year: f.year}
		}
		if sites[site] == nil {
			sites[site] = &SiteCount{Site: f.site}
		}
		if hosts[host] == nil {
			hosts[host] = &HostCount{Host: f.host}
		}
		for _, c := range []*Count{&r.Finds, &years[f.year].Count, &sites[site].Count, &hosts[host].Count} {
			c.add(f.sure)
		}
	}
	r.Years = ordered(years, func(x, y YearCount) int { return cmp.Compare(y.Year, x.Year) })
	r.Sites = ordered(sites, func(x, y SiteCount) int {
		return cmp.Or(unsaidLast(x.Site.Name, y.Site.Name), cmp.Compare(y.All(), x.All()), strings.Compare(x.Site.Name, y.Site.Name), keptFirst(x.Site, y.Site))
	})
	r.Hosts = ordered(hosts, func(x, y HostCount) int {
		return cmp.Or(unsaidLast(x.Host, y.Host), cmp.Compare(y.All(), x.All()), strings.Compare(x.Host, y.Host))
	})
	return r
}

func (c *Count) add(sure bool) {
	if sure {
		c.Confirmed++
	} else {
		c.Unsure++
	}
}

func ordered[K comparable, V any](of map[K]*V, order func(x, y V) int) []V {
	all := make([]V, 0, len(of))
	for v := range maps.Values(of) {
		all = append(all, *v)
	}
	slices.SortFunc(all, order)
	return all
}

func unsaidLast(x, y string) int {
	switch {
	case x == "" && y != "":
		return 1
	case x != "" && y == "":
		return -1
	}
	return 0
}

func keptFirst(x, y Site) int {
	switch {
	case x.KeptBack && !y.KeptBack:
		return -1
	case y.KeptBack && !x.KeptBack:
		return 1
	}
	return 0
}
