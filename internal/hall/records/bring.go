package records

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"slices"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
)

// ImportArchive brings an archive of finds into an event in one command, as Import brings a table. What the hall wrote
// itself comes back as it went out: numbers, names and who gave them, in their order; what was noted; places as the public
// saw them. Ids travel: that of a find is kept where no other of the society bears it, and with it those of its slips.
// Photographs are not fetched. People are known by their names alone, so that whoever chose not to be named comes in as a
// person without a name.
func ImportArchive(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, f *archive.Finds, opts Options) (Outcome, error) {
	sum := sha256.New()
	if err := f.WriteDigest(sum); err != nil {
		return Outcome{}, fmt.Errorf("read %s: %w", f.Name, err)
	}
	return run(ctx, h, actor, scope, cmd, brought{f.Name, hex.EncodeToString(sum.Sum(nil))}, opts, func(im *importer) (Outcome, error) { return im.bringFinds(f) })
}

func (im *importer) bringFinds(f *archive.Finds) (Outcome, error) {
	all, refused, notes, err := f.Records(im.reading())
	if err != nil {
		return Outcome{}, err
	}
	im.out = Outcome{Refused: refused}
	all = slices.DeleteFunc(all, func(o archive.Occurrence) bool {
		if im.earlier[o.Record.Line] {
			im.again++
		}
		return im.earlier[o.Record.Line]
	})
	if err := im.loadIDs(all); err != nil {
		return Outcome{}, err
	}
	if err := im.readHistories(all); err != nil {
		return Outcome{}, err
	}
	im.numberFinds(all)
	for _, o := range all {
		take := im.takeFind
		if o.Seen {
			take = im.takeSeen
		}
		if err := take(o); err != nil {
			return Outcome{}, err
		}
	}
	return im.end(notes)
}

// loadIDs finds out which ids are in use: of finds anywhere in the society, of what belongs to them in the event.
func (im *importer) loadIDs(all []archive.Occurrence) error {
	var asked []foray.ID
	for _, o := range all {
		if id, err := foray.ParseID(o.ID); err == nil {
			asked = append(asked, id)
		}
	}
	taken, err := im.Tx.FindsTaken(im.Scope.Society, asked)
	if err != nil {
		return err
	}
	im.ids = taken
	slips, err := im.Tx.Slips(im.Scope.Society, im.Scope.Event, foray.ID{})
	if err != nil {
		return err
	}
	for _, s := range slips {
		im.ids[s.ID] = true
	}
	notes, err := im.Tx.CharacterNotes(im.Scope.Society, im.Scope.Event, foray.ID{})
	if err != nil {
		return err
	}
	for _, n := range notes {
		im.ids[n.ID] = true
	}
	words, err := im.Tx.FieldWords(im.Scope.Society, im.Scope.Event)
	for _, w := range words {
		im.ids[w.ID] = true
	}
	return err
}

// idOf keeps an id that is one and free; another is made for what has none.
func (im *importer) idOf(text string) (id foray.ID, own bool, err error) {
	if id, err = foray.ParseID(text); err == nil && !id.IsZero() && !im.ids[id] {
		im.ids[id] = true
		return id, true, nil
	}
	id, err = im.NewID()
	return id, false, err
}

// numberFinds gives finds without a number the next free ones, as number does for a table.
func (im *importer) numberFinds(all []archive.Occurrence) {
	recs := make([]archive.Record, 0, len(all))
	for _, o := range all {
		if !o.Seen {
			recs = append(recs, o.Record)
		}
	}
	im.number(recs)
	for i := range all {
		if !all[i].Seen {
			all[i].Record, recs = recs[0], recs[1:]
		}
	}
}

// takeFind adds one collection with its history, or explains why it is not taken.
func (im *importer) takeFind(o archive.Occurrence) error {
	if im.numberUsed(o.Record) {
		return nil
	}
	im.mend(&o)
	codes, left, err := im.codesOf(o)
	if err != nil {
		return err
	}
	maps.Copy(o.Extra, left)
	c, err := im.collection(o.Record)
	if err != nil {
		return err
	}
	var own bool
	if c.ID, own, err = im.idOf(o.ID); err != nil {
		return err
	}
	if !own && o.ID != "" {
		im.seen.ids++
	}
	if c.SiteID, err = im.siteOf(o); err != nil {
		return err
	}
	slips, ok, err := im.historyOf(o, c)
	if err != nil || !ok {
		return err
	}
	im.stand(&c, slips)
	if err := im.factsOf(o, &c); err != nil {
		return err
	}
	if err := im.keptOf(o, &c, codes); err != nil {
		return err
	}
	im.seen.media += len(o.Media)
	im.collections, im.slips = append(im.collections, c), append(im.slips, slips...)
	im.took(o)
	return nil
}

func (im *importer) took(o archive.Occurrence) {
	im.out.Taken++
	im.out.Lines = append(im.out.Lines, o.Record.Line)
}

// mend reads what the hall's own exports say in words.
func (im *importer) mend(o *archive.Occurrence) {
	o.Host = hostOf(o.Host)
	if rest, is := strings.CutPrefix(o.Remarks, im.say("records.outside", "")); is {
		o.Outside, o.Remarks = true, strings.TrimSpace(rest)
	}
	o.Cultivated = o.Cultivated || o.Terms["degreeOfEstablishment"] == "cultivated"
}

// split reads a list as the standard writes it, with " | " between.
func split(list string) (parts []string) {
	for part := range strings.SplitSeq(list, " | ") {
		if part = strings.TrimSpace(part); part != "" {
			parts = append(parts, part)
		}
	}
	return parts
}
