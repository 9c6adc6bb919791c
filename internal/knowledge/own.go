package knowledge

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"

	"forayhall/internal/hazard"
)

// WithOwn is the knowledge of a society that has entries of its own, in place of any that the snapshot had. Its revision
// is another one with each entry, so that papers and pages made before are known by it. What cannot be joined is left
// out and told.
func (s *Snapshot) WithOwn(own hazard.Own) (*Snapshot, []hazard.Unjoined) {
	with := *s
	with.without = cmp.Or(s.without, s.Revision)
	var left []hazard.Unjoined
	with.Hazards, left = s.Hazards.WithOwn(own)
	with.Revision = ownRevision(with.without, own)
	return &with, left
}

func ownRevision(without string, own hazard.Own) string {
	if len(own.Rows)+len(own.Pairs)+len(own.Contests) == 0 {
		return without
	}
	data, err := json.Marshal(own)
	if err != nil {
		panic(fmt.Sprintf("knowledge: the entries of a society are no JSON: %v", err)) // they are texts and times
	}
	sum := sha256.New()
	fmt.Fprintf(sum, "%s\n%s", without, data)
	return hex.EncodeToString(sum.Sum(nil))[:12]
}
