package demo

import (
	"slices"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/tables"
	"forayhall/internal/hazard"
	"forayhall/internal/store"
)

// log gives a find its number.
func (b *book) log(m moment, number foray.Number) error {
	if err := b.must(m.by, access.LogCollection); err != nil {
		return err
	}
	if _, taken := b.plates[number]; taken {
		return fault.New(fault.Conflict, "number.taken", "number", number.String(), "time", m.at.Format("15:04"), "who", m.by)
	}
	id, now, err := b.row()
	if err != nil {
		return err
	}
	c := store.Collection{SocietyID: b.Scope.Society, EventID: b.Scope.Event, ID: id, NumberBase: number.Base, NumberSuffix: number.Suffix,
		Naming: foray.BroughtIn, Whereabouts: foray.AtDesk, LoggedBy: b.p.person[m.by], HappenedAt: now, RecordedAt: now}
	if err := b.fill(&c, *m.logs); err != nil {
		return err
	}
	p := &plate{Plate: hall.Plate{Collection: c, Standing: foray.Replay(nil)}}
	b.plates[number], b.order = p, append(b.order, p)
	return b.changed(m.by, access.LogCollection, "collection.log", id, number.String())
}

// fill puts the field data into a collection.
func (b *book) fill(c *store.Collection, f desk.Field) error {
	known := func(g hazard.Group) bool { return g.Key == f.Group }
	if !slices.ContainsFunc(b.Hall.Knowledge.Groups, known) {
		return fault.Wrong("group", "field.group-missing")
	}
	if !slices.Contains(desk.Plates, f.Plate) {
		return fault.Wrong("plate", "field.not-a-plate")
	}
	if err := notAfter(f.PickedAt, b.Now); err != nil {
		return err
	}
	c.FormGroup, c.Plate, c.KeptCool, c.Outside, c.Cultivated = f.Group, f.Plate, f.KeptCool, f.Outside, f.Cultivated
	c.PickedAt, c.PickedText, c.PickedFrom, c.PickedTo = store.At(f.PickedAt), tidy(f.PickedText), f.PickedFrom, f.PickedTo
	c.Substrate, c.Host, c.Habitat, c.Growth = tidy(f.Substrate), tidy(f.Host), tidy(f.Habitat), tidy(f.Growth)
	c.Fruitbodies, c.WeightG, c.Remarks = f.Fruitbodies, f.WeightG, tidy(f.Remarks)
	c.CollectorID = b.p.person[f.Collector]
	if f.Collector != "" && c.CollectorID.IsZero() {
		return fault.Wrong("collector", "setup.person-missing")
	}
	return b.where(c, f)
}

// where finds team and site; a site that was not given is the team's.
func (b *book) where(c *store.Collection, f desk.Field) error {
	team, ok := b.teams[f.Team]
	switch {
	case f.Team == "" && !f.Outside:
		return fault.Wrong("team", "field.team-missing")
	case f.Team != "" && !ok:
		return fault.Wrong("team", "field.team-unknown", "team", f.Team)
	}
	c.TeamID, c.SiteID = team.ID, team.SiteID
	if f.Site == "" {
		return nil
	}
	if c.SiteID, ok = b.sites[f.Site]; !ok {
		return fault.Wrong("site", "field.site-unknown", "site", f.Site)
	}
	return nil
}

// note adds a fleeting character.
func (b *book) note(m moment, p *plate) error {
	if p.CollectorID != b.p.person[m.by] {
		if err := b.must(m.by, access.NameAny); err != nil {
			return err
		}
	}
	if !slices.Contains(desk.Noted, m.notes.Character) {
		return fault.Wrong("character", "character.unknown", "character", m.notes.Character)
	}
	id, now, err := b.row()
	if err != nil {
		return err
	}
	b.notes = append(b.notes, store.CharacterNote{SocietyID: b.Scope.Society, EventID: b.Scope.Event, ID: id, CollectionID: p.ID,
		Character: m.notes.Character, Words: tidy(m.notes.Words), Seconds: m.notes.Seconds, NotedBy: b.p.person[m.by], HappenedAt: now, RecordedAt: now})
	return b.changed(m.by, access.NameOwn, "character.note", p.ID, "")
}

// say adds a slip, if the rules permit it.
func (b *book) say(m moment, p *plate) error {
	id, now, err := b.row()
	if err != nil {
		return err
	}
	slip := foray.Slip{ID: id, CollectionID: p.ID, Seq: p.Version + 1, Kind: m.says.kind, Determiner: b.p.person[m.says.whose],
		Writer: b.p.person[m.by], HappenedAt: now.Time, RecordedAt: now.Time, Basis: m.says.basis, Remarks: m.says.remarks}
	if m.says.strikes > 0 && m.says.strikes <= len(p.Slips) {
		slip.Strikes = p.Slips[m.says.strikes-1].ID
		slip.Determiner = slip.Writer // whoever takes a slip back does so in their own name
	}
	if slip.Names, err = b.ReadNames(m.says.names, b.prefer); err != nil {
		return err
	}
	if slip.Kind == foray.FieldName && slip.Determiner != slip.Writer {
		if err := b.must(m.by, access.NameAny); err != nil {
			return err
		}
	}
	if err := p.Standing.Permit(slip, b.hand(m, p), p.Slips, b.Now); err != nil {
		return err
	}
	b.stand(p, slip)
	return b.changed(m.by, b.wordAction(slip), "slip."+string(slip.Kind), p.ID, p.Number().String())
}

func (b *book) hand(m moment, p *plate) foray.Hand {
	held := b.held[m.by]
	return foray.Hand{Person: b.p.person[m.by], MaySign: held.Can(access.SignOff), MayScribe: held.Can(access.ScribeSignOff),
		MaySettle: held.Can(access.Settle), MayName: held.Can(access.NameAny), OwnsThis: p.CollectorID == b.p.person[m.by],
		Determiner: b.held[m.says.whose].Can(access.SignOff)}
}

// wordAction is the action as which the audit knows a slip.
func (b *book) wordAction(s foray.Slip) access.Action {
	switch {
	case s.Kind == foray.FieldName, s.Kind == foray.Strike:
		return access.NameOwn
	case s.Determiner == s.Writer:
		return access.SignOff
	}
	return access.ScribeSignOff
}

// stand adds a permitted slip and keeps the collection in step with it.
func (b *book) stand(p *plate, slip foray.Slip) {
	p.Slips, b.slips = append(p.Slips, slip), append(b.slips, slip)
	p.Standing = foray.Replay(p.Slips)
	for _, n := range slip.Names {
		if n.CurrentKey != "" {
			b.prefer[n.Key] = true
		}
	}
	s := p.Standing
	if p.Naming != s.Naming || p.Disputed != s.Disputed {
		b.histories = append(b.histories, store.NamingHistory{SocietyID: b.Scope.Society, EventID: b.Scope.Event, CollectionID: p.ID,
			Seq: s.Version, Naming: s.Naming, Disputed: s.Disputed, RecordedAt: store.At(b.Now)})
	}
	p.Naming, p.Disputed, p.Version = s.Naming, s.Disputed, s.Version
}

// put places a plate.
func (b *book) put(m moment, p *plate) error {
	if err := b.must(m.by, tables.PlaceActions(m.puts.Where)...); err != nil {
		return err
	}
	place := foray.Placement{Where: m.puts.Where, TableID: b.tables[m.puts.Table], Position: m.puts.Position, With: m.puts.With}
	if err := foray.PermitPlacement(place, p.Naming); err != nil {
		return err
	}
	id, now, err := b.row()
	if err != nil {
		return err
	}
	p.moved++
	b.places = append(b.places, store.Placement{SocietyID: b.Scope.Society, EventID: b.Scope.Event, ID: id, CollectionID: p.ID, Seq: p.moved,
		Whereabouts: place.Where, TableID: place.TableID, Position: place.Position, WithWhom: place.With, PlacedBy: b.p.person[m.by],
		HappenedAt: now, RecordedAt: now})
	p.Whereabouts, p.TableID, p.Position, p.WithWhom = place.Where, place.TableID, place.Position, place.With
	return b.changed(m.by, access.NameOwn, "plate.place", p.ID, p.Number().String()+" "+string(place.Where))
}
