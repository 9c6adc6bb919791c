package records

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"forayhall/internal/archive"
	"forayhall/internal/foray"
	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// defaultGridM is the public grid of a sensitive site that nobody has looked at yet.
const defaultGridM = 1000

// newSite is a site that the table names and the event did not have, with the points that its rows give.
type newSite struct {
	store.Site
	lat, lon  []float64
	uncertain int // metres, the most that any row says
}

// site finds the site of a row or adds it.
func (im *importer) site(rec archive.Record) (foray.ID, error) {
	name := tidy(rec.Site)
	if name == "" {
		im.seen.point(rec)
		return foray.ID{}, nil
	}
	id, there := im.sites[taxon.Fold(name)]
	if !there {
		var err error
		if id, err = im.NewID(); err != nil {
			return id, err
		}
		im.sites[taxon.Fold(name)] = id
		im.addSite(id, name)
	}
	added := im.siteAdded[id]
	if added == nil {
		im.seen.point(rec)
	} else if rec.Lat != nil && rec.Lon != nil {
		added.lat, added.lon = append(added.lat, *rec.Lat), append(added.lon, *rec.Lon)
	}
	return id, nil
}

func (im *importer) addSite(id foray.ID, name string) *newSite {
	s := &newSite{Site: store.Site{SocietyID: im.Scope.Society, EventID: im.Scope.Event, ID: id, Code: im.siteCode(name), Name: name,
		GridM: defaultGridM, Sensitive: im.opts.SensitiveSites, Permitted: true, CreatedAt: im.Stamp()}}
	im.newSites = append(im.newSites, s)
	im.siteAdded[id] = s
	return s
}

// siteCode is the first letters of the name's words, with a number where another site has them.
func (im *importer) siteCode(name string) string {
	code := ""
	for _, word := range strings.FieldsFunc(taxon.Fold(name), func(r rune) bool { return r < 'a' || r > 'z' }) {
		if len(word) > 1 && len(code) < 6 { // not the s after an apostrophe
			code += strings.ToUpper(word[:1])
		}
	}
	if code == "" {
		code = "S"
	}
	free := code
	for n := 2; im.siteCodes[free]; n++ {
		free = code + strconv.Itoa(n)
	}
	im.siteCodes[free] = true
	return free
}

// asSite puts a site in the middle of its rows' points, with the farthest of them as its uncertainty.
func (s *newSite) asSite() store.Site {
	if len(s.lat) == 0 {
		return s.Site
	}
	lat, lon := mean(s.lat), mean(s.lon)
	farthest := 0.0
	for i := range s.lat {
		farthest = max(farthest, metres(lat, lon, s.lat[i], s.lon[i]))
	}
	if onePoint(s.lat) && onePoint(s.lon) { // as it was written, whatever its decimals
		lat, lon, farthest = s.lat[0], s.lon[0], 0
	}
	s.Latitude, s.Longitude, s.UncertaintyM = &lat, &lon, int(math.Ceil(farthest))+s.uncertain
	return s.Site
}

func onePoint(all []float64) bool { return slices.Min(all) == slices.Max(all) }

// mean of degrees, to the fifth decimal: about a metre.
func mean(all []float64) float64 {
	sum := 0.0
	for _, v := range all {
		sum += v
	}
	return math.Round(sum/float64(len(all))*1e5) / 1e5
}

// metres between two points of one site, on the sphere of WGS 84's mean radius, 6,371,008.8 m (Moritz 2000, J Geod
// 74:128-133), taken as flat.
func metres(lat1, lon1, lat2, lon2 float64) float64 {
	const degree = 6371008.8 * math.Pi / 180
	return math.Hypot((lat2-lat1)*degree, (lon2-lon1)*degree*math.Cos(lat1*math.Pi/180))
}

// team finds the team of a row. Where the event has teams an unknown number is a slip of the key; where it has none,
// as an event of the past, the table's are added. ok is false where the row is refused.
func (im *importer) team(rec archive.Record) (team store.Team, ok bool, err error) {
	if rec.TeamNumber == "" {
		return team, true, nil
	}
	n, err := strconv.Atoi(strings.TrimSuffix(rec.TeamNumber, ".0"))
	if err != nil || n < 1 || n > 999 {
		im.refuse(rec, "team", rec.TeamNumber, message.T("records.team-number"))
		return team, false, nil
	}
	if team, there := im.teams[n]; there {
		return team, true, nil
	}
	if im.hadTeams {
		im.refuse(rec, "team", rec.TeamNumber, message.T("field.team-unknown", "team", n))
		return team, false, nil
	}
	team = store.Team{SocietyID: im.Scope.Society, EventID: im.Scope.Event, Number: n, CreatedAt: im.Stamp()}
	if team.ID, err = im.NewID(); err != nil {
		return team, false, err
	}
	im.teams[n] = team
	im.newTeams = append(im.newTeams, team)
	return team, true, nil
}

// tableKey is how a table is found: by its number or its title.
func tableKey(written string) string {
	key := taxon.Fold(strings.TrimSuffix(tidy(written), ".0"))
	return strings.TrimPrefix(key, "table ")
}
