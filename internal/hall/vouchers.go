package hall

import (
	"cmp"
	"slices"
	"strings"

	"forayhall/internal/foray"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// Voucher is what is kept of a find, as other rooms read it. Where it stands in the dryer is with its plate.
type Voucher struct {
	foray.Voucher
	OwnNumber   string // the collector's own, where one was written down
	Institution string // the code of the one whose accession stands, else of the one it was sent to; empty: at the society
	Accession   string // empty: none came back yet
	Accessions  []Accession
	Tissues     []Tissue
	Sequences   []Sequence
}

// Accession is the number under which an institution keeps a voucher, or a part of it.
type Accession struct {
	Institution string `json:"institution"`
	Number      string `json:"number"`
	Dated       string `json:"dated,omitempty"`
}

// Tissue is a sample for a sequence.
type Tissue struct {
	Tube  string `json:"tube"`
	Dried bool   `json:"dried"` // of a dry specimen; false: fresh
	Dated string `json:"dated,omitempty"`
	By    string `json:"by,omitempty"` // as they wish to appear
}

// Sequence is where a sequence is kept.
type Sequence struct {
	Marker     string `json:"marker"`
	Accession  string `json:"accession"`
	Repository string `json:"repository"`
	Dated      string `json:"dated,omitempty"`
}

// Vouchers gives what was ever said of a plate as a voucher, by the id of its collection: also of those that were dropped,
// which are not Chosen, and of plates that bear a code alone.
func (l *Look) Vouchers() (map[foray.ID]Voucher, error) {
	words, err := l.Tx.VoucherWords(l.Scope.Society, l.Scope.Event, foray.ID{})
	if err != nil {
		return nil, err
	}
	codes, err := l.Tx.VoucherCodes(l.Scope.Society, l.Scope.Event, foray.ID{})
	if err != nil {
		return nil, err
	}
	people := map[foray.ID]store.Person{}
	if len(codes) > 0 {
		if people, err = l.PeopleNames(); err != nil {
			return nil, err
		}
	}
	said := map[foray.ID][]foray.VoucherSaid{}
	for _, w := range words {
		said[w.CollectionID] = append(said[w.CollectionID], SaidOf(w))
	}
	all := map[foray.ID]Voucher{}
	for id, words := range said {
		all[id] = Voucher{Voucher: foray.ReplayVoucher(words)}
	}
	for _, c := range CodesStanding(codes) {
		v := all[c.CollectionID]
		v.bears(c, people)
		all[c.CollectionID] = v
	}
	for id, v := range all {
		v.Institution = cmp.Or(v.Institution, v.To)
		all[id] = v
	}
	return all, nil
}

// SaidOf is a stored word as the rules read it.
func SaidOf(w store.VoucherWord) foray.VoucherSaid {
	return foray.VoucherSaid{Act: w.Kind, Reason: w.Reason, Kept: w.Fruitbodies, Tissue: w.Tissue, Dry: w.Dry, Institution: w.Institution, Words: w.Words}
}

// CodesStanding leaves out what was replaced, and what replaced it by nothing.
func CodesStanding(codes []store.VoucherCode) []store.VoucherCode {
	replaced := map[foray.ID]bool{}
	for _, c := range codes {
		replaced[c.Replaces] = true
	}
	return slices.DeleteFunc(slices.Clone(codes), func(c store.VoucherCode) bool { return replaced[c.ID] || c.Code == "" })
}

// bears adds a code. Codes come oldest first; the first accession is the voucher's, and others are of parts of it.
func (v *Voucher) bears(c store.VoucherCode, people map[foray.ID]store.Person) {
	switch c.Kind {
	case foray.OwnNumber:
		v.OwnNumber = c.Code
	case foray.Accession:
		v.Accessions = append(v.Accessions, Accession{Institution: c.HeldAt, Number: c.Code, Dated: c.Dated})
		v.Institution, v.Accession = v.Accessions[0].Institution, v.Accessions[0].Number
	case foray.Tissue:
		v.Tissues = append(v.Tissues, Tissue{Tube: c.Code, Dried: c.Dried, Dated: c.Dated, By: CreditedName(people[c.TakenBy])})
	case foray.Sequence:
		v.Sequences = append(v.Sequences, Sequence{Marker: c.Marker, Accession: c.Code, Repository: c.HeldAt, Dated: c.Dated})
	}
}

// VoucherSaid is what was said of one collection as a voucher, oldest first.
func (l *Look) VoucherSaid(collection foray.ID) ([]foray.VoucherSaid, error) {
	rows, err := l.Tx.VoucherWords(l.Scope.Society, l.Scope.Event, collection)
	said := make([]foray.VoucherSaid, len(rows))
	for i, w := range rows {
		said[i] = SaidOf(w)
	}
	return said, err
}

// SayVoucher is the one way a word is said of a voucher: the rules, the row, the audit and the change.
func (w *Write) SayVoucher(c store.Collection, said foray.VoucherSaid) error {
	before, err := w.VoucherSaid(c.ID)
	if err != nil {
		return err
	}
	if err := foray.ReplayVoucher(before).Permit(said, c.Whereabouts); err != nil {
		return err
	}
	return w.addVoucherWord(c, said)
}

func (w *Write) addVoucherWord(c store.Collection, said foray.VoucherSaid) error {
	id, err := w.NewID()
	if err != nil {
		return err
	}
	w.Note("voucher."+string(said.Act), c.ID, strings.TrimSpace(c.Number().String()+" "+string(said.Reason)+said.Institution+" "+said.Words))
	w.Changed("voucher", c.ID)
	return w.Tx.AddVoucherWord(store.VoucherWord{SocietyID: w.Scope.Society, EventID: w.Scope.Event, ID: id, CollectionID: c.ID, Kind: said.Act, Reason: said.Reason,
		Fruitbodies: said.Kept, Tissue: said.Tissue, Dry: said.Dry, Institution: said.Institution, Words: said.Words, SaidBy: w.Actor.Person,
		HappenedAt: w.HappenedStamp(), RecordedAt: w.Stamp()})
}

// CarryVoucher keeps what another became, where that other was chosen: what was split or merged is no plate any more, and a
// voucher is not lost by it. How many fruitbodies are kept of it nobody has counted yet.
func (w *Write) CarryVoucher(from, into store.Collection) error {
	said, err := w.VoucherSaid(from.ID)
	if err != nil {
		return err
	}
	was := foray.ReplayVoucher(said)
	if said, err = w.VoucherSaid(into.ID); err != nil || !was.Chosen || foray.ReplayVoucher(said).Chosen {
		return err
	}
	why := message.For(message.English).Say("voucher.carried", "number", from.Number().String())
	return w.addVoucherWord(into, foray.VoucherSaid{Act: foray.VoucherChosen, Reason: was.Reason, Tissue: was.Tissue, Words: why})
}
