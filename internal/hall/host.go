package hall

import (
	"slices"
	"strings"

	"forayhall/internal/foray"
)

// mostHostWords is the longest that the name of a tree, plant or insect is; what is longer is a description, which may tell
// where it stands.
const mostHostWords = 3

// HostOf is the host alone of what was written as one: what follows it after a mark is free words, and those are not for
// everybody.
func HostOf(said string) string {
	if at := strings.IndexAny(said, ",;:(/–—"); at >= 0 {
		said = said[:at]
	}
	words := strings.Fields(said)
	if len(words) > mostHostWords {
		return ""
	}
	return strings.Join(words, " ")
}

// HostAt is the host as it may be told with a public place: whole, or, where that is generalised, the host alone.
func HostAt(place foray.PublicPlace, said string) string {
	if place.GeneralisedM() > 0 {
		return HostOf(said)
	}
	return said
}

// WordAlone is what was written for a choice, as it may be told with a public place: where that is generalised, one of the
// words that are offered, or nothing.
func WordAlone(place foray.PublicPlace, said string, offered []string) string {
	if place.GeneralisedM() > 0 && !slices.Contains(offered, said) {
		return ""
	}
	return said
}
