package records

import (
	"crypto/sha256"
	"fmt"
	"strings"
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/taxon"
)

// historyTerms are the columns of the identification history (GBIF extension of 2025-07-10).
var historyTerms = []string{"", "identificationID", "verbatimIdentification", "identificationQualifier", "identifiedBy", "dateIdentified",
	"identificationVerificationStatus", "identificationRemarks", "scientificName", "scientificNameAuthorship", "taxonRank", "acceptedNameUsage",
	"kingdom", "phylum", "class", "order", "family", "genus", "nomenclaturalCode"}

// What a slip of the history is, in identificationVerificationStatus: how firm it was, and what became of it.
const (
	takenBack  = "taken back"
	superseded = "superseded"
	unnameable = "not nameable"
	noFungus   = "not a fungus"
)

// history is the slips of a plate in the order in which they were written, one row a name, those that were taken back
// among them: a herbarium adds determination slips and removes none.
func (x *exporter) history(f found) [][]string {
	if f.seen != nil {
		return x.seenHistory(f)
	}
	var rows [][]string
	for _, s := range f.plate.Slips {
		switch s.Kind {
		case foray.Strike:
		case foray.NotNameable, foray.NotFungus:
			rows = append(rows, x.historyRow(f, s, foray.SlipName{Rank: 1}))
		default:
			for _, n := range s.Names {
				rows = append(rows, x.historyRow(f, s, n))
			}
		}
	}
	return rows
}

func (x *exporter) historyRow(f found, s foray.Slip, n foray.SlipName) []string {
	r := x.identification(n)
	r["identificationID"] = nameID(s.ID, n.Rank).URN()
	r["identifiedBy"] = hall.CreditedName(x.people[s.Determiner])
	if x.dated(s) {
		r["dateIdentified"] = x.moment(s.HappenedAt)
	}
	r["identificationVerificationStatus"] = statusOf(f.plate.Standing, s)
	r["identificationRemarks"] = x.reasons(f, s, n)
	return r.under(historyTerms, f.id)
}

// identification is what a name as determined says.
func (x *exporter) identification(n foray.SlipName) record {
	r := record{"verbatimIdentification": n.Verbatim}
	if n.Verbatim == "" || n.NameRank == string(taxon.Form) {
		return r
	}
	x.classify(r, []foray.SlipName{n})
	if now := r["scientificName"]; now != n.Name {
		r["acceptedNameUsage"] = strings.TrimSpace(now + " " + r["scientificNameAuthorship"])
	}
	r["scientificName"], r["scientificNameAuthorship"], r["taxonRank"], r["nomenclaturalCode"] = n.Name, n.Author, n.NameRank, "ICN"
	return r
}

func (r record) under(terms []string, core foray.ID) []string {
	cells := make([]string, len(terms))
	for i, term := range terms {
		cells[i] = r[term]
	}
	cells[0] = core.URN()
	return cells
}

// nameID is the id of the first name on a slip, the slip's own, or one made of it for the others.
func nameID(slip foray.ID, rank int) foray.ID {
	if rank <= 1 {
		return slip
	}
	return derived(slip, fmt.Sprintf("name %d", rank))
}

// derived makes an id of another, always the same: a UUID of version 8 (RFC 9562, 5.8), the beginning of a SHA-256.
func derived(id foray.ID, what string) foray.ID { return uuid8(fmt.Appendf(nil, "%s %s", id, what)) }

func uuid8(of []byte) foray.ID {
	made := sha256.Sum256(of)
	id := foray.ID(made[:16])
	id[6] = id[6]&0x0f | 0x80
	id[8] = id[8]&0x3f | 0x80
	return id
}

// moment is a time at the event's place; midnight is what a day without a time was stored as.
func (x *exporter) moment(t time.Time) string {
	local := t.In(x.zone)
	if local.Equal(time.Date(local.Year(), local.Month(), local.Day(), 0, 0, 0, 0, x.zone)) {
		return local.Format(time.DateOnly)
	}
	return local.Format(time.RFC3339)
}

// statusOf says how firm a slip was, and after a comma what became of it.
func statusOf(st foray.Standing, s foray.Slip) string {
	status := map[foray.SlipKind]string{foray.FieldName: unconfirmed, foray.SignOff: confirmed, foray.NotNameable: unnameable, foray.NotFungus: noFungus}[s.Kind]
	_, gone := st.Struck[s.ID]
	switch {
	case gone:
		return status + ", " + takenBack
	case s.Kind != foray.SignOff:
		return status
	case !st.IsSide(s.ID):
		return status + ", " + superseded
	case st.Disputed:
		return status + ", " + disputed
	}
	return status
}

// reasons is what a name rests on: the basis of a sign-off, or the place among several names; what was written on the slip;
// why this name.
func (x *exporter) reasons(f found, s foray.Slip, n foray.SlipName) string {
	var parts []string
	if len(s.Names) > 1 {
		parts = append(parts, x.say.Say("records.choice", "rank", n.Rank, "n", len(s.Names)))
	}
	rest := x.basis(s, f.place)
	if rest != "" {
		parts = append(parts, rest)
	}
	mark := x.say.Say("records.why", "reason", "")
	if (n.Reason != "" || strings.Contains(rest, mark)) && f.place.GeneralisedM() == 0 { // the last mark is the one that counts
		parts = append(parts, x.say.Say("records.why", "reason", n.Reason))
	}
	return strings.Join(parts, "; ")
}

// seenHistory is the name that the observer gave, and one row for everybody who stands behind it.
func (x *exporter) seenHistory(f found) [][]string {
	s := f.seen
	field := x.say.Say("pages.basis.in_the_field")
	row := func(id foray.ID, by foray.ID, at time.Time, status string) []string {
		r := x.identification(s.SlipName())
		r["identificationID"], r["identifiedBy"], r["dateIdentified"] = id.URN(), hall.CreditedName(x.people[by]), x.moment(at)
		r["identificationVerificationStatus"], r["identificationRemarks"] = status, field
		return r.under(historyTerms, f.id)
	}
	rows := [][]string{row(derived(s.ID, "seen"), s.ObserverID, s.HappenedAt.Time, unconfirmed)}
	for _, w := range s.Stands {
		rows = append(rows, row(w.ID, w.PersonID, w.HappenedAt.Time, confirmed))
	}
	return rows
}
