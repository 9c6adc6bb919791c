package hall

import (
	"slices"
	"strings"

	"forayhall/internal/store"
)

// GroupOrder is the form groups in the order in which an event wants them on its tables: its own order first, then the
// groups that it does not speak of, as they come in the knowledge.
func (h *Hall) GroupOrder(e store.Event) []string {
	var order []string
	for _, g := range strings.Split(e.GroupOrder, ",") {
		if _, known := h.Knowledge.Hazards.Group(g); known && !slices.Contains(order, g) {
			order = append(order, g)
		}
	}
	for _, g := range h.Knowledge.Groups {
		if !slices.Contains(order, g.Key) {
			order = append(order, g.Key)
		}
	}
	return order
}

// GroupsOn is the form groups that stand on a table.
func GroupsOn(t store.HallTable) []string {
	if t.FormGroups == "" {
		return nil
	}
	return strings.Split(t.FormGroups, ",")
}
