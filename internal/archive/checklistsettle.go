package archive

import (
	"strings"

	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

// longestChain is more than any list needs from a name to its accepted one, or from a name up to its kingdom.
const longestChain = 100

// settle follows every former name to its accepted one, and refuses those that arrive nowhere. It gives how many names
// can be used.
func (c *nodes) settle(r *refusals) int {
	r.note("checklist.note-dangling", c.acceptLeanedOn())
	final := make([]int32, len(c.all))
	wrong := map[int32]message.Text{}
	for i := range c.all {
		if c.all[i].state == nodeFormer {
			var why message.Text
			if final[i], why = c.follow(int32(i)); !why.IsZero() {
				wrong[int32(i)] = why
			}
		}
	}
	usable, orphans := 0, 0
	for i := range c.all {
		n := &c.all[i]
		why, refused := wrong[int32(i)]
		switch {
		case refused:
			n.state = nodeRefused
			c.refuse(c.files[n.file], int(n.line), c.name(int32(i)), why)
		case n.state == nodeFormer:
			n.target = final[i]
			usable++
		case n.state == nodeAccepted:
			usable++
		}
		if n.parent != none && c.ofID[n.parent] == none {
			orphans++
		}
	}
	r.note("checklist.note-parent-missing", orphans)
	return usable
}

// acceptLeanedOn takes a row for accepted that has no status, and points to a name that is not there or that leads back
// to the row, where others stand on it.
func (c *nodes) acceptLeanedOn() (taken int) {
	for i := range c.all {
		n := &c.all[i]
		if n.state == nodeFormer && !n.said && n.id != none && c.leaned[n.id] && c.leadsNowhere(int32(i)) {
			n.state = nodeAccepted
			c.nowAccepted(int32(i))
			taken++
		}
	}
	return taken
}

func (c *nodes) leadsNowhere(i int32) bool {
	at := i
	for range longestChain {
		switch n := c.all[at]; n.state {
		case nodeFormer:
			if at = c.ofID[n.target]; at == none {
				return true
			}
		case nodeTwin:
			at = n.target
		default:
			return false
		}
		if at == i {
			return true
		}
	}
	return false
}

func (c *nodes) nowAccepted(i int32) {
	n := c.all[i]
	if n.depth <= genusDepth {
		name := c.name(i)
		c.wide[taxon.Key(name)] = wide{name, n.depth, true}
	}
}

func (c *nodes) follow(i int32) (int32, message.Text) {
	at := i
	for range longestChain {
		n := c.all[at]
		next := n.target
		if n.state == nodeFormer {
			if next = c.ofID[n.target]; next == none {
				return none, c.missing(n.target)
			}
		}
		switch c.all[next].state {
		case nodeAccepted:
			return next, message.Text{}
		case nodePassed, nodeRefused:
			return none, message.T("checklist.refused-accepted-refused", "file", c.files[c.all[next].file], "line", c.all[next].line)
		}
		at = next
	}
	return none, message.T("checklist.refused-circle")
}

func (c *nodes) missing(number int32) message.Text {
	if c.written == nil {
		c.written = make([]string, len(c.ofID))
		for id, n := range c.ids {
			c.written[n] = strings.TrimPrefix(id, nameMark)
		}
	}
	return message.T("checklist.refused-accepted-missing", "id", shorten(c.written[number]))
}

// parentOf climbs to the next accepted name that is wider than a depth. It climbs over rows that were left out, and
// from a former name to its accepted one.
func (c *nodes) parentOf(i int32, depth uint8) (int32, bool) {
	at := c.all[i].parent
	for range longestChain {
		if at == none || c.ofID[at] == none {
			return none, false
		}
		up := c.ofID[at]
		if state := c.all[up].state; state == nodeTwin || state == nodeFormer {
			up = c.all[up].target
		}
		n := c.all[up]
		if n.state == nodeAccepted && n.depth < depth {
			return up, true
		}
		at = n.parent
	}
	return none, false
}
