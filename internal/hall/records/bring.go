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
	"forayhall/internal/store"
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
	if err := im.keptOf(o, &c); err != nil {
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
	maps.Copy(o.Extra, unkept(*o))
	o.Cultivated = o.Cultivated || o.Terms["degreeOfEstablishment"] == "cultivated"
}

// keptThere is a dried specimen that is kept somewhere.
type keptThere struct {
	words []store.VoucherWord
	codes []store.VoucherCode
}

// keptOf makes a specimen a voucher that was sent where the archive says: it is not in this hall.
func (im *importer) keptOf(o archive.Occurrence, c *store.Collection) error {
	if o.Terms["basisOfRecord"] != "PreservedSpecimen" {
		return nil
	}
	where := o.Terms["institutionCode"]
	id, err := im.NewID()
	if err != nil {
		return err
	}
	c.Whereabouts, c.WithWhom = foray.SentTo, where
	if where == "" {
		c.WithWhom = im.say("records.kept-somewhere", "")
	}
	im.placements = append(im.placements, store.Placement{SocietyID: c.SocietyID, EventID: c.EventID, ID: id, CollectionID: c.ID, Seq: 1,
		Whereabouts: c.Whereabouts, WithWhom: c.WithWhom, PlacedBy: im.Actor.Person, HappenedAt: c.HappenedAt, RecordedAt: im.Stamp()})
	return im.voucherOf(o, *c, where)
}

func (im *importer) voucherOf(o archive.Occurrence, c store.Collection, where string) error {
	words := []store.VoucherWord{{Kind: foray.VoucherChosen, Reason: foray.ForOther, Words: im.say("records.kept-as-said", "")}, {Kind: foray.VoucherPacked}}
	if where != "" {
		words = append(words, store.VoucherWord{Kind: foray.VoucherSent, Institution: where})
	}
	for i := range words {
		id, err := im.NewID()
		if err != nil {
			return err
		}
		w := &words[i]
		w.SocietyID, w.EventID, w.ID, w.CollectionID, w.SaidBy, w.HappenedAt, w.RecordedAt = c.SocietyID, c.EventID, id, c.ID, im.Actor.Person, c.HappenedAt, im.Stamp()
	}
	codes, err := im.codesOf(o, c, where)
	im.kept = append(im.kept, keptThere{words, codes})
	return err
}

// longestCode is what a code may have at most; longer ones are none.
const longestCode = 60

// codesOf is the accession and the sequences of a specimen. What does not say where it is kept stays among the remarks.
func (im *importer) codesOf(o archive.Occurrence, c store.Collection, where string) (codes []store.VoucherCode, err error) {
	add := func(code store.VoucherCode) {
		if err == nil {
			code.ID, err = im.NewID()
		}
		code.SocietyID, code.EventID, code.CollectionID, code.CodeKey = c.SocietyID, c.EventID, c.ID, codeKey(code.Code)
		code.WrittenBy, code.HappenedAt, code.RecordedAt = im.Actor.Person, c.HappenedAt, im.Stamp()
		codes = append(codes, code)
	}
	if n := o.Terms["catalogNumber"]; n != "" && where != "" && len(n) <= longestCode {
		add(store.VoucherCode{Kind: foray.Accession, Code: n, HeldAt: where})
	}
	for _, s := range split(o.Terms["associatedSequences"]) {
		if marker, code, repository, ok := sequenceOf(s); ok {
			add(store.VoucherCode{Kind: foray.Sequence, Code: code, Marker: marker, HeldAt: repository})
		}
	}
	return codes, err
}

// sequenceOf reads a sequence as the hall writes one: its marker, its accession and in brackets where it is kept.
func sequenceOf(text string) (marker, code, repository string, ok bool) {
	marker, rest, ok1 := strings.Cut(text, ": ")
	code, repository, ok2 := strings.Cut(strings.TrimSuffix(rest, ")"), " (")
	return marker, code, repository, ok1 && ok2 && marker != "" && code != "" && repository != "" && len(code) <= longestCode
}

// codeKey is a code as two are compared, as where codes are typed in: case and blanks say nothing, marks do.
func codeKey(code string) string { return strings.ToLower(strings.Join(strings.Fields(code), "")) }

// unkept is the codes of a specimen that codesOf does not take.
func unkept(o archive.Occurrence) map[string]string {
	left := map[string]string{}
	if n := o.Terms["catalogNumber"]; n != "" && (o.Terms["institutionCode"] == "" || len(n) > longestCode || o.Terms["basisOfRecord"] != "PreservedSpecimen") {
		left["catalogNumber"] = strings.TrimSpace(o.Terms["institutionCode"] + " " + n)
	}
	if n := o.Terms["otherCatalogNumbers"]; n != "" {
		left["otherCatalogNumbers"] = n
	}
	for _, s := range split(o.Terms["associatedSequences"]) {
		if _, _, _, ok := sequenceOf(s); !ok || o.Terms["basisOfRecord"] != "PreservedSpecimen" {
			left["associatedSequences"] = o.Terms["associatedSequences"]
		}
	}
	return left
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

func (im *importer) writeVouchers() error {
	for _, k := range im.kept {
		for _, w := range k.words {
			if err := im.Tx.AddVoucherWord(w); err != nil {
				return err
			}
		}
		for _, c := range k.codes {
			if err := im.Tx.AddVoucherCode(c); err != nil {
				return err
			}
		}
	}
	return nil
}
