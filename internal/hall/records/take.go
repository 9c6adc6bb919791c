package records

import (
	"maps"
	"slices"
	"strings"
	"time"

	"forayhall/internal/archive"
	"forayhall/internal/foray"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// take adds one row, or explains why it is not taken.
func (im *importer) take(rec archive.Record) error {
	if im.numberUsed(rec) {
		return nil
	}
	team, ok, err := im.team(rec)
	if err != nil || !ok {
		return err
	}
	c, err := im.collection(rec)
	if err != nil {
		return err
	}
	c.TeamID = team.ID
	if c.SiteID, err = im.site(rec); err != nil {
		return err
	}
	if c.SiteID.IsZero() {
		c.SiteID = team.SiteID // as at the desk
	}
	slips, ok, err := im.slipsOf(rec, c)
	if err != nil || !ok {
		return err
	}
	im.stand(&c, slips)
	if err := im.placeOf(rec, &c); err != nil {
		return err
	}
	if err := im.charactersOf(rec, c); err != nil {
		return err
	}
	im.collections = append(im.collections, c)
	im.slips = append(im.slips, slips...)
	im.out.Taken++
	im.out.Lines = append(im.out.Lines, rec.Line)
	return nil
}

// numberUsed refuses a row whose number stands in the event, and says by whom it was logged.
func (im *importer) numberUsed(rec archive.Record) bool {
	number := foray.Number{Base: rec.Base, Suffix: rec.Suffix}
	old, taken := im.used[number]
	if taken {
		at := old.RecordedAt.In(im.zone)
		im.refuse(rec, "number", rec.NumberAsWritten, message.T("records.number-used", "number", number.String(),
			"date", at.Format(time.DateOnly), "time", at.Format("15:04"), "who", im.names[old.LoggedBy]))
	}
	return taken
}

func (im *importer) collection(rec archive.Record) (c store.Collection, err error) {
	c = store.Collection{SocietyID: im.Scope.Society, EventID: im.Scope.Event, NumberBase: rec.Base, NumberSuffix: rec.Suffix,
		FormGroup: rec.GroupKey, PickedText: rec.Picked.Text, Substrate: tidy(rec.Substrate), Host: tidy(rec.Host),
		Habitat: tidy(rec.Habitat), Fruitbodies: rec.Count, Outside: rec.Outside, Cultivated: rec.Cultivated,
		Remarks: remarks(rec), Naming: foray.BroughtIn, Whereabouts: foray.AtDesk, LoggedBy: im.Actor.Person,
		HappenedAt: store.At(im.moment(rec.Picked)), RecordedAt: im.Stamp()}
	if !rec.Picked.IsZero() {
		c.PickedFrom, c.PickedTo = rec.Picked.From.Format(time.DateOnly), rec.Picked.To.Format(time.DateOnly)
	}
	if c.ID, err = im.NewID(); err != nil {
		return c, err
	}
	c.CollectorID, err = im.named(rec.Collector)
	return c, err
}

// remarks also keeps the columns that are no field, as they were written.
func remarks(rec archive.Record) string {
	parts := []string{}
	if rec.Remarks != "" {
		parts = append(parts, rec.Remarks)
	}
	for _, heading := range slices.Sorted(maps.Keys(rec.Extra)) {
		parts = append(parts, heading+": "+rec.Extra[heading])
	}
	return strings.Join(parts, "; ")
}

// moment is the beginning of a day that is known, and of the event's first day where it is not; never later than now.
func (im *importer) moment(d archive.DateRange) time.Time {
	day := d.From
	if d.IsZero() || !d.From.Equal(d.To) {
		start, err := time.Parse(time.DateOnly, im.event.StartsOn)
		if err != nil {
			return im.Now
		}
		day = start
	}
	at := time.Date(day.Year(), day.Month(), day.Day(), 0, 0, 0, 0, im.zone)
	if at.After(im.Now) {
		return im.Now
	}
	return at
}

// stand gives a collection the standing that its slips make, and its history, as if they had come one by one.
func (im *importer) stand(c *store.Collection, slips []foray.Slip) {
	for i := range slips {
		was, disputed := c.Naming, c.Disputed
		now := foray.Replay(slips[:i+1])
		c.Naming, c.Disputed, c.Version = now.Naming, now.Disputed, now.Version
		if c.Naming != was || c.Disputed != disputed {
			im.history = append(im.history, store.NamingHistory{SocietyID: c.SocietyID, EventID: c.EventID, CollectionID: c.ID,
				Seq: c.Version, Naming: c.Naming, Disputed: c.Disputed, RecordedAt: im.Stamp()})
		}
	}
}

// placeOf puts a plate on a table that the event has.
func (im *importer) placeOf(rec archive.Record, c *store.Collection) error {
	if rec.Table == "" {
		return nil
	}
	table, there := im.tables[tableKey(rec.Table)]
	p := foray.Placement{Where: foray.OnTable, TableID: table}
	if !there || foray.PermitPlacement(p, c.Naming) != nil {
		im.seen.tables.add(rec.Table)
		return nil
	}
	id, err := im.NewID()
	if err != nil {
		return err
	}
	c.Whereabouts, c.TableID = p.Where, table
	im.placements = append(im.placements, store.Placement{SocietyID: c.SocietyID, EventID: c.EventID, ID: id, CollectionID: c.ID, Seq: 1,
		Whereabouts: p.Where, TableID: table, PlacedBy: im.Actor.Person, HappenedAt: c.HappenedAt, RecordedAt: im.Stamp()})
	return nil
}

// noted is what the desk calls the characters that a table may have a column for.
var noted = map[string]string{"odour": "odour", "latex": "latex", "colour change": "cut_change"}

func (im *importer) charactersOf(rec archive.Record, c store.Collection) error {
	by := c.CollectorID
	if by.IsZero() {
		by = im.Actor.Person
	}
	for _, name := range slices.Sorted(maps.Keys(rec.Characters)) {
		id, err := im.NewID()
		if err != nil {
			return err
		}
		im.characters = append(im.characters, store.CharacterNote{SocietyID: c.SocietyID, EventID: c.EventID, ID: id, CollectionID: c.ID,
			Character: noted[name], Words: rec.Characters[name], NotedBy: by, HappenedAt: c.HappenedAt, RecordedAt: im.Stamp()})
	}
	return nil
}
