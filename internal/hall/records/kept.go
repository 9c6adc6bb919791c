package records

import (
	"cmp"
	"strings"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
)

// keep says that a dried specimen is kept, and where; the codes are the fungarium's own once an accession came back.
// A plate may bear a collector's number or a sequence though it was not kept.
func (x *exporter) keep(r record, p hall.Plate) {
	v := x.vouchers[p.ID]
	x.codes(r, v)
	if !v.Chosen && p.Whereabouts != foray.InDryer && p.Whereabouts != foray.SentTo {
		return
	}
	r["basisOfRecord"], r["preparations"] = "PreservedSpecimen", "dried"
	if r["institutionCode"] = cmp.Or(v.Institution, x.society.InstitutionCode); r["institutionCode"] == x.society.InstitutionCode {
		r["collectionCode"] = x.society.CollectionCode
	}
	r["catalogNumber"] = v.Accession
}

func (x *exporter) codes(r record, v hall.Voucher) {
	var others, sequences []string
	for _, a := range v.Accessions[min(1, len(v.Accessions)):] {
		others = append(others, x.say.Say("records.part-accession", "institution", a.Institution, "code", a.Number))
	}
	if v.OwnNumber != "" {
		others = append(others, x.say.Say("records.own-number", "code", v.OwnNumber))
	}
	for _, s := range v.Sequences {
		sequences = append(sequences, x.say.Say("records.sequence", "marker", s.Marker, "accession", s.Accession, "repository", s.Repository))
	}
	r["otherCatalogNumbers"], r["associatedSequences"] = strings.Join(others, " | "), strings.Join(sequences, " | ")
}
