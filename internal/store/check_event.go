package store

import (
	"slices"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/message"
)

// each asks a question of every collection.
func (r *eventRows) each(broken func(Collection) bool, key string) []message.Text {
	var found []message.Text
	for _, c := range r.collections {
		if broken(c) {
			found = append(found, r.at(key, c))
		}
	}
	return found
}

// numbersUnique: what people read as the same number is one collection, and every number can be read.
func numbersUnique(r *eventRows) []message.Text {
	seen := map[string]bool{}
	return r.each(func(c Collection) bool {
		label := strings.ToLower(c.Number().String())
		read, err := foray.ParseNumber(label, r.event.Code)
		twice := seen[label]
		seen[label] = true
		return twice || err != nil || read != c.Number()
	}, "check.number")
}

// slipsWithoutGaps: slips are numbered 1 to the collection's version.
func slipsWithoutGaps(r *eventRows) []message.Text {
	return r.each(func(c Collection) bool {
		for i, s := range r.slips[c.ID] {
			if s.Seq != i+1 {
				return true
			}
		}
		return len(r.slips[c.ID]) != c.Version
	}, "check.slips")
}

// strikesOfOwnCollection: a strike takes back an earlier slip of its collection, and nothing else strikes.
func strikesOfOwnCollection(r *eventRows) []message.Text {
	return r.each(func(c Collection) bool {
		for i, s := range r.slips[c.ID] {
			if s.Strikes.IsZero() != (s.Kind != foray.Strike) {
				return true
			}
			before := func(other foray.Slip) bool { return other.ID == s.Strikes }
			if s.Kind == foray.Strike && !slices.ContainsFunc(r.slips[c.ID][:i], before) {
				return true
			}
		}
		return false
	}, "check.strike")
}

// namesRanked: a field name ranks one to five names from 1 without gaps, a sign-off bears one, other slips none.
func namesRanked(r *eventRows) []message.Text {
	most := map[foray.SlipKind]int{foray.FieldName: foray.MostNames, foray.SignOff: 1}
	return r.each(func(c Collection) bool {
		for _, s := range r.slips[c.ID] {
			if len(s.Names) > most[s.Kind] || len(s.Names) == 0 && most[s.Kind] > 0 {
				return true
			}
			for i, n := range s.Names {
				if n.Rank != i+1 {
					return true
				}
			}
		}
		return false
	}, "check.names")
}

// namingAsSlipsSay: the collection's own columns are what its slips give.
func namingAsSlipsSay(r *eventRows) []message.Text {
	return r.each(func(c Collection) bool {
		s := foray.Replay(r.slips[c.ID])
		return c.Naming != s.Naming || c.Disputed != s.Disputed || c.Version != s.Version
	}, "check.naming")
}

// historyAsSlipsSay: there is a row of history for each slip that changed how the collection is named, and no other.
func historyAsSlipsSay(r *eventRows) []message.Text {
	return r.each(func(c Collection) bool {
		rows := r.histories[c.ID]
		was := foray.Replay(nil)
		for i := range r.slips[c.ID] {
			is := foray.Replay(r.slips[c.ID][:i+1])
			if is.Naming == was.Naming && is.Disputed == was.Disputed {
				continue
			}
			if len(rows) == 0 || rows[0].Seq != is.Version || rows[0].Naming != is.Naming || rows[0].Disputed != is.Disputed {
				return true
			}
			rows, was = rows[1:], is
		}
		return len(rows) > 0
	}, "check.history")
}

// placementsWithoutGaps: a plate's places are numbered from 1.
func placementsWithoutGaps(r *eventRows) []message.Text {
	return r.each(func(c Collection) bool {
		for i, p := range r.placements[c.ID] {
			if p.Seq != i+1 {
				return true
			}
		}
		return false
	}, "check.placements")
}

// whereaboutsAsPlaced: a plate is where it was placed last; one that was never placed is at the desk, where it was logged.
func whereaboutsAsPlaced(r *eventRows) []message.Text {
	return r.each(func(c Collection) bool {
		last := Placement{Whereabouts: foray.AtDesk}
		if all := r.placements[c.ID]; len(all) > 0 {
			last = all[len(all)-1]
		}
		return c.Whereabouts != last.Whereabouts || c.TableID != last.TableID || c.Position != last.Position || c.WithWhom != last.WithWhom
	}, "check.whereabouts")
}

// determinersHadTheRight: whoever's word a slip is was given the right to determine at the event, now or once.
func determinersHadTheRight(r *eventRows) []message.Text {
	may := map[foray.ID]bool{}
	for _, right := range r.rights {
		may[right.PersonID] = may[right.PersonID] || access.Allows(right.Held, access.SignOff)
	}
	for _, a := range r.given {
		may[a.Subject] = may[a.Subject] || access.Allows(access.Right(a.Detail), access.SignOff)
	}
	return r.each(func(c Collection) bool {
		for _, s := range r.slips[c.ID] {
			word := s.Kind == foray.SignOff || s.Kind == foray.NotNameable || s.Kind == foray.NotFungus
			if word && !may[s.Determiner] {
				return true
			}
		}
		return false
	}, "check.determiner")
}
