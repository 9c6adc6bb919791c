package records

import (
	"strings"
	"time"

	"forayhall/internal/archive"
	"forayhall/internal/foray"
	"forayhall/internal/store"
)

// keptThere is a dried specimen that is kept somewhere, and what a find bears beside its number.
type keptThere struct {
	words []store.VoucherWord
	codes []store.VoucherCode
}

const specimen = "PreservedSpecimen"

// keptOf makes a specimen a voucher that was sent where the archive says: it is not in this hall.
func (im *importer) keptOf(o archive.Occurrence, c *store.Collection, codes []store.VoucherCode) error {
	for i := range codes {
		codes[i].CollectionID, codes[i].HappenedAt = c.ID, c.HappenedAt
	}
	kept := keptThere{codes: codes}
	if o.Terms["basisOfRecord"] == specimen {
		if err := im.sentThere(o, c); err != nil {
			return err
		}
		var err error
		if kept.words, err = im.voucherWords(*c, o.Terms["institutionCode"]); err != nil {
			return err
		}
	}
	if len(kept.words)+len(codes) > 0 {
		im.kept = append(im.kept, kept)
	}
	return nil
}

func (im *importer) sentThere(o archive.Occurrence, c *store.Collection) error {
	id, err := im.NewID()
	c.Whereabouts, c.WithWhom = foray.SentTo, o.Terms["institutionCode"]
	if c.WithWhom == "" {
		c.WithWhom = im.say("records.kept-somewhere", "")
	}
	im.placements = append(im.placements, store.Placement{SocietyID: c.SocietyID, EventID: c.EventID, ID: id, CollectionID: c.ID, Seq: 1,
		Whereabouts: c.Whereabouts, WithWhom: c.WithWhom, PlacedBy: im.Actor.Person, HappenedAt: c.HappenedAt, RecordedAt: im.Stamp()})
	return err
}

func (im *importer) voucherWords(c store.Collection, where string) ([]store.VoucherWord, error) {
	words := []store.VoucherWord{{Kind: foray.VoucherChosen, Reason: foray.ForOther, Words: im.say("records.kept-as-said", "")}, {Kind: foray.VoucherPacked}}
	if where != "" {
		words = append(words, store.VoucherWord{Kind: foray.VoucherSent, Institution: where})
	}
	for i := range words {
		id, err := im.NewID()
		if err != nil {
			return nil, err
		}
		w := &words[i]
		w.SocietyID, w.EventID, w.ID, w.CollectionID, w.SaidBy, w.HappenedAt, w.RecordedAt = c.SocietyID, c.EventID, id, c.ID, im.Actor.Person, c.HappenedAt, im.Stamp()
	}
	return words, nil
}

// longestCode is what a code may have at most; longer ones are none.
const longestCode = 60

// codesOf is the accession of a specimen, the collector's number, the sequences. What says of no code whose it is, and what
// another find of the society bears already, is left to the remarks.
func (im *importer) codesOf(o archive.Occurrence) (codes []store.VoucherCode, left map[string]string, err error) {
	left = map[string]string{}
	for _, w := range im.codesWritten(o) {
		free := false
		if err == nil && w.whole() {
			free, err = im.free(w.VoucherCode)
		}
		if !free {
			left[w.term] = o.Terms[w.term]
			continue
		}
		c := w.VoucherCode
		if c.ID, err = im.NewID(); err != nil {
			return nil, nil, err
		}
		c.SocietyID, c.EventID, c.CodeKey, c.WrittenBy = im.Scope.Society, im.Scope.Event, codeKey(c.Code), im.Actor.Person
		c.RecordedAt = store.At(im.Now.Add(time.Duration(len(codes)) * time.Microsecond)) // the order of codes is that of their rows
		codes = append(codes, c)
	}
	return codes, left, err
}

// codeWritten is a code and the term that it stands in.
type codeWritten struct {
	store.VoucherCode
	term string
}

func (w codeWritten) whole() bool {
	held := w.Kind == foray.OwnNumber || w.HeldAt != "" && len(w.HeldAt) <= longestCode
	return w.Code != "" && len(w.Code) <= longestCode && held && (w.Kind != foray.Sequence || w.Marker != "")
}

// codesWritten reads codes as keep and codes write them.
func (im *importer) codesWritten(o archive.Occurrence) (all []codeWritten) {
	add := func(term string, c store.VoucherCode) { all = append(all, codeWritten{c, term}) }
	kept := o.Terms["basisOfRecord"] == specimen
	if n := o.Terms["catalogNumber"]; n != "" {
		where := o.Terms["institutionCode"]
		if !kept {
			where = "" // an accession is a voucher's
		}
		add("catalogNumber", store.VoucherCode{Kind: foray.Accession, Code: n, HeldAt: where})
	}
	own, part := english.Say("records.own-number", "code", ""), english.Say("records.part-accession", "institution", "", "code", "")
	for _, n := range split(o.Terms["otherCatalogNumbers"]) {
		if code, is := strings.CutPrefix(n, own); is {
			add("otherCatalogNumbers", store.VoucherCode{Kind: foray.OwnNumber, Code: code})
			continue
		}
		rest, is := strings.CutPrefix(n, strings.TrimSpace(part)+" ")
		where, code, _ := strings.Cut(rest, " ")
		if !is || !kept {
			where, code = "", n
		}
		add("otherCatalogNumbers", store.VoucherCode{Kind: foray.Accession, Code: code, HeldAt: where})
	}
	for _, s := range split(o.Terms["associatedSequences"]) {
		marker, rest, _ := strings.Cut(s, ": ")
		code, repository, _ := strings.Cut(strings.TrimSuffix(rest, ")"), " (")
		add("associatedSequences", store.VoucherCode{Kind: foray.Sequence, Code: code, Marker: marker, HeldAt: repository})
	}
	return all
}

// free reports whether no find of the society bears a code yet, among those of the archive too; there the parts of one find
// share its collector's number.
func (im *importer) free(c store.VoucherCode) (bool, error) {
	key := strings.Join([]string{string(c.Kind), strings.ToLower(c.HeldAt), codeKey(c.Code)}, "\n")
	if im.borne[key] && c.Kind != foray.OwnNumber {
		return false, nil
	}
	im.borne[key] = true
	there, err := im.Tx.CodesBorne(im.Scope.Society, c.Kind, codeKey(c.Code))
	for _, b := range there {
		if strings.EqualFold(b.HeldAt, c.HeldAt) {
			return false, err
		}
	}
	return true, err
}

// codeKey is a code as two are compared, as where codes are typed in: case and blanks say nothing, marks do.
func codeKey(code string) string { return strings.ToLower(strings.Join(strings.Fields(code), "")) }

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
