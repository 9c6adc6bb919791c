package store

import (
	"fmt"

	"forayhall/internal/foray"
	"forayhall/internal/message"
)

// Broken is a rule that the database does not keep at one place.
type Broken struct {
	Rule string
	Text message.Text
}

// Checked is what was read, and what of it is broken.
type Checked struct {
	Societies   int
	Events      int
	Collections int
	Slips       int
	Changes     int
	Broken      []Broken
}

// databaseRules look at the database as a whole. Where a rule is a query, every row it gives is broken.
var databaseRules = []struct {
	name string
	find func(*Tx) ([]message.Text, error)
}{
	{"file", wholeFile},
	{"references", wholeReferences},
	{"triggers", triggersThere},
	{"maintenance", maintenanceOff},
	{"counters", oneCounterAnEvent},
	{"changes", changesWithoutGaps},
	{"publications", publicationsAsSigned},
	{"withdrawals", withdrawnOnce},
	{"accessions", accessionsBorneOnce},
	{"earlier lists", earlierLinesCounted},
}

// eventRules look at the rows of one event.
var eventRules = []struct {
	name string
	find func(*eventRows) []message.Text
}{
	{"numbers", numbersUnique},
	{"slips", slipsWithoutGaps},
	{"strikes", strikesOfOwnCollection},
	{"names", namesRanked},
	{"naming", namingAsSlipsSay},
	{"history", historyAsSlipsSay},
	{"placements", placementsWithoutGaps},
	{"whereabouts", whereaboutsAsPlaced},
	{"determiners", determinersHadTheRight},
	{"parts", partsOfSplits},
	{"merged", mergedIntoOne},
	{"spoilt", spoiltWithoutSlips},
	{"circles", linksOutward},
	{"vouchers", voucherWordsWithoutGaps},
	{"codes", codesRightedOfOwn},
	{"marks", marksOfOwnTeam},
	{"heads", headsCountable},
	{"field", wordsOfRecords},
	{"seen", seenCountable},
}

// Check reads the whole database and reports every rule that is broken.
func (t *Tx) Check() (Checked, error) {
	var c Checked
	for _, rule := range databaseRules {
		found, err := rule.find(t)
		if err != nil {
			return c, fmt.Errorf("check %s: %w", rule.name, err)
		}
		c.report(rule.name, found)
	}
	societies, err := t.Societies()
	if err != nil {
		return c, err
	}
	c.Societies = len(societies)
	for _, s := range societies {
		if err := c.society(t, s); err != nil {
			return c, fmt.Errorf("check %s: %w", s.Code, err)
		}
	}
	return c, nil
}

func (c *Checked) society(t *Tx, s Society) error {
	events, err := t.Events(s.ID)
	if err != nil {
		return err
	}
	c.Events += len(events)
	for _, e := range events {
		rows, err := t.eventRows(e)
		if err != nil {
			return err
		}
		for _, rule := range eventRules {
			c.report(rule.name, rule.find(rows))
		}
		changes, err := t.ChangeSeq(s.ID, e.ID)
		if err != nil {
			return err
		}
		c.Collections += len(rows.collections)
		c.Slips += rows.slipCount
		c.Changes += int(changes)
	}
	return nil
}

func (c *Checked) report(rule string, found []message.Text) {
	for _, text := range found {
		c.Broken = append(c.Broken, Broken{Rule: rule, Text: text})
	}
}

// eventRows is what the rules of an event look at.
type eventRows struct {
	event       Event
	collections []Collection
	slips       map[foray.ID][]foray.Slip // by collection, in order
	slipCount   int
	placements  map[foray.ID][]Placement
	histories   map[foray.ID][]NamingHistory
	links       []CollectionLink
	heads       headRows
	field       fieldRows
	vouchers    voucherRows
	rights      []EventRight
	given       []Audit // every right that was ever given
}

func (t *Tx) eventRows(e Event) (*eventRows, error) {
	rows := &eventRows{event: e, slips: map[foray.ID][]foray.Slip{}, placements: map[foray.ID][]Placement{},
		histories: map[foray.ID][]NamingHistory{}}
	var err error
	if rows.collections, err = t.Collections(e.SocietyID, e.ID); err != nil {
		return nil, err
	}
	slips, err := t.Slips(e.SocietyID, e.ID, foray.ID{})
	if err != nil {
		return nil, err
	}
	rows.slipCount = len(slips)
	for _, s := range slips {
		rows.slips[s.CollectionID] = append(rows.slips[s.CollectionID], s)
	}
	placements, err := many[Placement](t.db.Where("society_id = ? AND event_id = ?", e.SocietyID, e.ID).Order("collection_id, seq"))
	if err != nil {
		return nil, err
	}
	for _, p := range placements {
		rows.placements[p.CollectionID] = append(rows.placements[p.CollectionID], p)
	}
	histories, err := t.NamingHistories(e.SocietyID, e.ID)
	if err != nil {
		return nil, err
	}
	for _, h := range histories {
		rows.histories[h.CollectionID] = append(rows.histories[h.CollectionID], h)
	}
	if rows.links, err = t.CollectionLinks(e.SocietyID, e.ID); err != nil {
		return nil, err
	}
	if rows.heads, err = t.headRows(e); err != nil {
		return nil, err
	}
	if rows.field, err = t.fieldRows(e); err != nil {
		return nil, err
	}
	if rows.vouchers, err = t.voucherRows(e); err != nil {
		return nil, err
	}
	if rows.rights, err = t.EventRights(e.SocietyID, e.ID); err != nil {
		return nil, err
	}
	rows.given, err = many[Audit](t.db.Where("society_id = ? AND event_id = ? AND kind = ?", e.SocietyID, e.ID, "right.give"))
	return rows, err
}

// at names a collection as people know it.
func (r *eventRows) at(key string, c Collection, pairs ...any) message.Text {
	return message.T(key, append([]any{"event", r.event.Code, "number", c.Number().String()}, pairs...)...)
}
