package store

import (
	"forayhall/internal/foray"
	"forayhall/internal/message"
)

// voucherRows is what was said of vouchers and what they bear.
type voucherRows struct {
	words map[foray.ID][]VoucherWord // by collection, in order
	codes []VoucherCode
}

func (t *Tx) voucherRows(e Event) (v voucherRows, err error) {
	v.words = map[foray.ID][]VoucherWord{}
	words, err := t.VoucherWords(e.SocietyID, e.ID, foray.ID{})
	if err != nil {
		return v, err
	}
	for _, w := range words {
		v.words[w.CollectionID] = append(v.words[w.CollectionID], w)
	}
	v.codes, err = t.VoucherCodes(e.SocietyID, e.ID, foray.ID{})
	return v, err
}

// voucherWordsWithoutGaps: what was said of a plate as a voucher is numbered from 1, and of what nobody chose nothing is
// said but that it was taken out of the dryer.
func voucherWordsWithoutGaps(r *eventRows) []message.Text {
	return r.each(func(c Collection) bool {
		chosen := false
		for i, w := range r.vouchers.words[c.ID] {
			chosen = chosen || w.Kind == foray.VoucherChosen
			if w.Seq != i+1 || !chosen && w.Kind != foray.VoucherTakenOut {
				return true
			}
		}
		return false
	}, "check.voucher-words")
}

// codesRightedOfOwn: a code is put right by one of its own kind, of the same plate.
func codesRightedOfOwn(r *eventRows) (found []message.Text) {
	by := map[foray.ID]VoucherCode{}
	for _, c := range r.vouchers.codes {
		by[c.ID] = c
	}
	for _, c := range r.vouchers.codes {
		old := by[c.Replaces]
		if !c.Replaces.IsZero() && (old.CollectionID != c.CollectionID || old.Kind != c.Kind) {
			found = append(found, message.T("check.voucher-righted", "event", r.event.Code, "code", old.Code))
		}
	}
	return found
}

// accessionsBorneOnce: no institution keeps two vouchers of a society under one number, as far as nobody put it right.
func accessionsBorneOnce(t *Tx) ([]message.Text, error) {
	return t.asText(`SELECT MIN(c.code) FROM voucher_code c
  WHERE c.kind = 'accession' AND c.code <> '' AND NOT EXISTS (SELECT 1 FROM voucher_code n
    WHERE n.society_id = c.society_id AND n.event_id = c.event_id AND n.replaces = c.id)
  GROUP BY c.society_id, c.keeper, c.code_key HAVING COUNT(*) > 1 ORDER BY 1`, "check.accession", "code")
}
