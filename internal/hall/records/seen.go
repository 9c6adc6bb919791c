package records

import (
	"strconv"
	"strings"
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
)

// seenRecord is one row of what was seen and left where it was; ok is false where the name is of no taxon. It is confirmed
// while somebody who may determine stands behind it.
func (x *exporter) seenRecord(s hall.SeenThere, place foray.PublicPlace) (record, bool) {
	r := x.common(s.ID)
	if !x.classify(r, []foray.SlipName{s.SlipName()}) {
		return nil, false
	}
	r["recordedBy"], r["eventDate"] = hall.CreditedName(x.people[s.ObserverID]), s.HappenedAt.In(x.zone).Format(time.DateOnly)
	r["occurrenceRemarks"], r["associatedTaxa"], r["substrate"] = s.Remarks, s.Host, s.Substrate
	r["verbatimIdentification"], r["identificationVerificationStatus"] = s.Verbatim, unconfirmed
	r["identificationRemarks"] = x.say.Say("pages.basis.in_the_field")
	if s.Count > 0 {
		r["individualCount"] = strconv.Itoa(s.Count)
	}
	var by words
	for _, w := range s.Stands {
		r["identificationVerificationStatus"], r["dateIdentified"] = confirmed, w.HappenedAt.In(x.zone).Format(time.DateOnly)
		if who := hall.CreditedName(x.people[w.PersonID]); who != "" {
			by.add(who)
		}
	}
	r["identifiedBy"] = strings.Join(by.list, " | ")
	x.locate(r, place)
	x.outside(r, s.Outside)
	return r, true
}
