package desk

import (
	"strconv"
	"strings"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// Plates lists the footprints of a plate: dish 9 cm, side plate 16, plate 23, tray 30 × 40, and larger (common practice).
var Plates = []string{"", "dish", "side", "plate", "tray", "large"}

// fill puts field data into a collection, naming every field that is wrong.
func fill(w *hall.Write, c *store.Collection, in Field) error {
	wrong := map[string]message.Text{}
	tooLong := message.T("text.too-long", "most", 500)
	for field, text := range map[string]string{"substrate": in.Substrate, "host": in.Host, "habitat": in.Habitat, "growth": in.Growth,
		"remarks": in.Remarks, "picked": in.PickedText + in.PickedFrom + in.PickedTo} {
		if len(text) > 500 {
			wrong[field] = tooLong
		}
	}
	c.Substrate, c.Host, c.Habitat = tidy(in.Substrate), tidy(in.Host), tidy(in.Habitat)
	c.Growth, c.Plate, c.Remarks = tidy(in.Growth), in.Plate, strings.TrimSpace(in.Remarks)
	c.KeptCool, c.Outside, c.Cultivated = in.KeptCool, in.Outside, in.Cultivated
	c.PickedAt, c.PickedText, c.PickedFrom, c.PickedTo = store.At(in.PickedAt), tidy(in.PickedText), in.PickedFrom, in.PickedTo
	c.Fruitbodies, c.WeightG = in.Fruitbodies, in.WeightG
	if in.Fruitbodies != nil && (*in.Fruitbodies < 0 || *in.Fruitbodies > 100000) {
		wrong["fruitbodies"] = message.T("field.not-a-count")
	}
	if in.WeightG != nil && !(*in.WeightG >= 0 && *in.WeightG <= 1e6) {
		wrong["weight"] = message.T("field.not-a-weight")
	}
	if !oneOf(in.Plate, Plates) {
		wrong["plate"] = message.T("field.not-a-plate")
	}
	if in.PickedAt.After(w.Now) {
		wrong["picked"] = message.T("field.picked-later-than-now")
	}
	c.FormGroup = in.Group
	if !knownGroup(w, in.Group) {
		wrong["group"] = message.T("field.group-missing")
	}
	if err := places(w, c, in, wrong); err != nil {
		return err
	}
	if len(wrong) > 0 {
		return fault.Many(wrong)
	}
	var err error
	c.CollectorID, err = w.PersonNamed(in.Collector)
	return err
}

func tidy(s string) string { return strings.Join(strings.Fields(s), " ") }

func oneOf(s string, all []string) bool {
	for _, a := range all {
		if a == s {
			return true
		}
	}
	return false
}

func knownGroup(w *hall.Write, key string) bool {
	for _, g := range w.Hall.Knowledge.Groups {
		if g.Key == key {
			return true
		}
	}
	return false
}

// places finds the team by its id or number and the site by its id or code; a site that was not given is the team's.
func places(w *hall.Write, c *store.Collection, in Field, wrong map[string]message.Text) error {
	teams, err := w.Tx.Teams(w.Scope.Society, w.Scope.Event)
	if err != nil {
		return err
	}
	c.TeamID, c.SiteID = foray.ID{}, foray.ID{}
	for _, t := range teams {
		if in.Team != "" && (t.ID.String() == in.Team || strconv.Itoa(t.Number) == in.Team) {
			c.TeamID, c.SiteID = t.ID, t.SiteID
		}
	}
	if in.Team != "" && c.TeamID.IsZero() {
		wrong["team"] = message.T("field.team-unknown", "team", in.Team)
	}
	if in.Site == "" {
		return nil
	}
	sites, err := w.Tx.Sites(w.Scope.Society, w.Scope.Event)
	if err != nil {
		return err
	}
	c.SiteID = foray.ID{}
	for _, s := range sites {
		if s.ID.String() == in.Site || strings.EqualFold(s.Code, in.Site) || strings.EqualFold(s.Name, in.Site) {
			c.SiteID = s.ID
		}
	}
	if c.SiteID.IsZero() {
		wrong["site"] = message.T("field.site-unknown", "site", in.Site)
	}
	return nil
}
