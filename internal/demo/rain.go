package demo

import "forayhall/internal/hall/worth"

// readRain makes one act of the daily rain of an event: it was typed off the gauge's book at one sitting.
func (e *event) readRain() error {
	var in worth.Rain
	var entered moment
	err := eachRow("rain", []string{"event", "at", "by", "day", "mm", "source"}, func(r *row) {
		if r.text("event") != e.set.Code {
			return
		}
		entered.at, entered.by, in.Source = r.at("at", e.zone), r.text("by"), r.text("source")
		in.Days = append(in.Days, worth.RainDay{Day: r.text("day"), MM: r.real("mm")})
	})
	if len(in.Days) > 0 {
		entered.does = using(in, worth.EnterRain)
		e.moments = append(e.moments, entered)
	}
	return err
}
