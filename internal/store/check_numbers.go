package store

import (
	"forayhall/internal/foray"
	"forayhall/internal/message"
)

// The words of Collection.Fate and CollectionLink.Kind.
const (
	Split   = "split"
	Merged  = "merged"
	Spoilt  = "spoilt"
	OfSplit = "split"
	OfMerge = "merge"
)

// links counts the links of an event by what they lead from and to.
func (r *eventRows) linked(kind string) (from, into map[foray.ID]int) {
	from, into = map[foray.ID]int{}, map[foray.ID]int{}
	for _, l := range r.links {
		if l.Kind == kind {
			from[l.FromID]++
			into[l.IntoID]++
		}
	}
	return from, into
}

// partsOfSplits: what was split has two parts at least and is no plate any more; what is a part comes from one thing.
func partsOfSplits(r *eventRows) []message.Text {
	parts, parents := r.linked(OfSplit)
	return r.each(func(c Collection) bool {
		return (c.Fate == Split) != (parts[c.ID] > 0) || parts[c.ID] == 1 || parents[c.ID] > 1
	}, "check.parts")
}

// mergedIntoOne: what was merged is in one other collection, and is no plate any more.
func mergedIntoOne(r *eventRows) []message.Text {
	into, _ := r.linked(OfMerge)
	return r.each(func(c Collection) bool {
		return (c.Fate == Merged) != (into[c.ID] > 0) || into[c.ID] > 1
	}, "check.merged")
}

// spoiltWithoutSlips: a number logged by mistake was never named.
func spoiltWithoutSlips(r *eventRows) []message.Text {
	return r.each(func(c Collection) bool { return c.Fate == Spoilt && len(r.slips[c.ID]) > 0 }, "check.spoilt")
}

// linksOutward: no plate is a part of itself, or merged into itself, by whatever way round.
func linksOutward(r *eventRows) []message.Text {
	onward := map[foray.ID][]foray.ID{}
	for _, l := range r.links {
		onward[l.FromID] = append(onward[l.FromID], l.IntoID)
	}
	return r.each(func(c Collection) bool { return returns(onward, c.ID, c.ID, len(r.links)) }, "check.circle")
}

// returns reports whether the links lead from one collection back to another within so many steps.
func returns(onward map[foray.ID][]foray.ID, from, to foray.ID, steps int) bool {
	if steps == 0 {
		return false
	}
	for _, next := range onward[from] {
		if next == to || returns(onward, next, to, steps-1) {
			return true
		}
	}
	return false
}
