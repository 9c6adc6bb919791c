package tally

import "forayhall/internal/taxon"

// RealmOf is the group under which a current name is totalled; of one that the classification does not know, Others.
func RealmOf(n *taxon.Name) Realm { return realmOf(n) }
