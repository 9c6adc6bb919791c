package foray

import (
	"slices"

	"forayhall/internal/fault"
)

// VoucherAct is what is said of a plate as a voucher: a dried specimen by which its name can be checked later.
type VoucherAct string

const (
	VoucherChosen   VoucherAct = "chosen"
	VoucherDropped  VoucherAct = "dropped"   // it is not kept after all
	VoucherTakenOut VoucherAct = "taken_out" // of the dryer
	VoucherPacked   VoucherAct = "packed"
	VoucherUnpacked VoucherAct = "unpacked"
	FreezerIn       VoucherAct = "freezer_in"
	FreezerOut      VoucherAct = "freezer_out"
	VoucherSent     VoucherAct = "sent" // to an institution
)

// VoucherReason is why a plate is kept.
type VoucherReason string

// Why plates are kept: first records, unresolved names, hazardous taxa and good material are what is selected (common
// practice); a specialist may ask for one.
const (
	ForFirstRecord VoucherReason = "first_record"
	ForUnresolved  VoucherReason = "unresolved"
	ForHazard      VoucherReason = "hazard"
	ForMaterial    VoucherReason = "material"
	ForSpecialist  VoucherReason = "specialist"
	ForNoneKept    VoucherReason = "none_kept"
	ForOther       VoucherReason = "other"
)

// VoucherReasons lists them in the order in which they are offered.
var VoucherReasons = []VoucherReason{ForFirstRecord, ForUnresolved, ForHazard, ForMaterial, ForSpecialist, ForNoneKept, ForOther}

// VoucherSaid is one word said of a plate as a voucher.
type VoucherSaid struct {
	Act         VoucherAct
	Reason      VoucherReason
	Kept        *int // fruitbodies
	Tissue      bool
	Dry         bool
	Institution string
	Words       string
}

// Voucher is what the words said of a plate give.
type Voucher struct {
	Chosen  bool
	Dropped bool // it was chosen once, and is not any more
	Reason  VoucherReason
	Kept    *int
	Tissue  bool // for a sequence is wanted
	Why     string
	OutDry  bool // cracker dry when it was last taken out of a dryer
	Out     bool // it was taken out of a dryer
	Packed  bool
	Freezer bool // it is there now
	Frozen  bool // it was there, and is out again
	Sent    bool
	To      string // the institution that it was sent to last
}

// ReplayVoucher goes through the words, oldest first.
func ReplayVoucher(words []VoucherSaid) Voucher {
	var v Voucher
	for _, w := range words {
		v = v.after(w)
	}
	return v
}

func (v Voucher) after(w VoucherSaid) Voucher {
	switch w.Act {
	case VoucherChosen:
		v.Chosen, v.Dropped, v.Reason, v.Kept, v.Tissue, v.Why = true, false, w.Reason, w.Kept, w.Tissue, w.Words
	case VoucherDropped:
		v = Voucher{Dropped: true, Out: v.Out, OutDry: v.OutDry, Why: w.Words}
	case VoucherTakenOut:
		v.Out, v.OutDry = true, w.Dry
	case VoucherPacked:
		v.Packed = true
	case VoucherUnpacked:
		v.Packed, v.Freezer, v.Sent, v.To = false, false, false, ""
	case FreezerIn:
		v.Freezer = true
	case FreezerOut:
		v.Freezer, v.Frozen = false, true
	case VoucherSent:
		v.Sent, v.To, v.Freezer = true, w.Institution, false
	}
	return v
}

// MostKept is the most fruitbodies that a packet is said to hold.
const MostKept = 999

// Permit says whether something may be said of a voucher that stands so, of a plate that is there.
func (v Voucher) Permit(w VoucherSaid, where Whereabouts) error {
	refuse := func(key string) error { return fault.New(fault.Refused, "voucher."+key) }
	switch w.Act {
	case VoucherChosen:
		if !slices.Contains(VoucherReasons, w.Reason) {
			return fault.Wrong("reason", "voucher.reason-missing")
		}
		if w.Kept != nil && (*w.Kept < 1 || *w.Kept > MostKept) {
			return fault.Wrong("fruitbodies", "voucher.fruitbodies", "most", MostKept)
		}
		if where == Discarded || where == Lost {
			return refuse("gone." + string(where))
		}
		return nil
	case VoucherTakenOut:
		if where != InDryer {
			return refuse("not-in-dryer")
		}
		return nil
	}
	return v.permitKept(w, where, refuse)
}

// permitKept is Permit for what is said of chosen vouchers only.
func (v Voucher) permitKept(w VoucherSaid, where Whereabouts, refuse func(string) error) error {
	switch {
	case !v.Chosen:
		return refuse("not-chosen")
	case (w.Act == VoucherDropped || w.Act == VoucherUnpacked) && w.Words == "":
		return fault.Wrong("words", "voucher.why-missing")
	case w.Act == VoucherPacked && v.Packed:
		return refuse("packed")
	case w.Act == VoucherPacked && where == InDryer:
		return refuse("still-in-dryer")
	case w.Act == VoucherPacked && (where == Discarded || where == Lost):
		return refuse("gone." + string(where))
	case slices.Contains([]VoucherAct{VoucherUnpacked, FreezerIn, VoucherSent}, w.Act) && !v.Packed:
		return refuse("not-packed")
	case w.Act == FreezerIn && v.Freezer:
		return refuse("in-freezer")
	case w.Act == FreezerOut && !v.Freezer:
		return refuse("not-in-freezer")
	case w.Act == VoucherSent && w.Institution == "":
		return fault.Wrong("institution", "voucher.institution-missing")
	}
	return nil
}

// CodeKind is what a plate may bear beside its number. They are never mixed.
type CodeKind string

const (
	OwnNumber CodeKind = "own_number" // the collector's: surname and a number that is never used again
	Accession CodeKind = "accession"  // the institution's, given when the voucher is taken in there
	Tissue    CodeKind = "tissue"     // a tube, or a plate and its well
	Sequence  CodeKind = "sequence"   // the accession of a sequence at its repository
)

// CodeKinds lists them.
var CodeKinds = []CodeKind{OwnNumber, Accession, Tissue, Sequence}
