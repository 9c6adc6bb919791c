package tables

import (
	"context"
	"strconv"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// Spot is a plate by its number as read from the label, and where on the table or in the dryer it is.
type Spot struct {
	Number   string `json:"number"`
	Position string `json:"position,omitempty"`
}

// mostAtOnce is how many plates one command moves: twice the largest table.
const mostAtOnce = 60

// Several puts several plates to one place: all of them, or none.
type Several struct {
	Plates []Spot            `json:"plates"`
	Where  foray.Whereabouts `json:"where"`
	Table  string            `json:"table,omitempty"` // its id or number
	With   string            `json:"with,omitempty"`
}

// Moved is the answer.
type Moved struct {
	Numbers []string          `json:"numbers"`
	Where   foray.Whereabouts `json:"where"`
}

// PlaceSeveral puts plates to one place, by number. One that cannot be read or moved is named, and none is moved.
func PlaceSeveral(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Several) (Moved, error) {
	cmd.Type, cmd.Body = "plate.place-several.v1", in
	return hall.Do(ctx, h, actor, access.NameOwn, scope, cmd, func(w *hall.Write) (Moved, error) {
		if err := w.May(PlaceActions(in.Where)...); err != nil {
			return Moved{}, err
		}
		place := foray.Placement{Where: in.Where, With: in.With}
		if in.Where == foray.OnTable {
			table, err := tableOf(w, in.Table)
			if err != nil {
				return Moved{}, err
			}
			place.TableID = table.ID
		}
		plates, err := platesOf(w, in.Plates)
		if err != nil {
			return Moved{}, err
		}
		done := Moved{Numbers: []string{}, Where: in.Where}
		wrong := map[string]message.Text{}
		for i, plate := range plates {
			place.Position = in.Plates[i].Position
			at, err := w.MayStand(plate, place)
			if err != nil {
				said := fault.From(err)
				if said.Kind != fault.Invalid && said.Kind != fault.Refused {
					return Moved{}, err
				}
				wrong[field(i)] = message.T("place.not-this", "number", plate.Number().String(), "why", why(said))
				continue
			}
			if err := w.Stand(plate.Collection, at); err != nil {
				return Moved{}, err
			}
			done.Numbers = append(done.Numbers, plate.Number().String())
		}
		if len(wrong) > 0 {
			return Moved{}, fault.Many(wrong)
		}
		return done, nil
	})
}

// field is where an error about the plate at i is said.
func field(i int) string { return "plates." + strconv.Itoa(i) }

// why is the one thing that is wrong with a plate.
func why(e *fault.Error) message.Text {
	for _, text := range e.Fields {
		return text
	}
	return e.Text
}

// platesOf finds the plates by their numbers and keeps others from writing to them. Every number that cannot be read,
// is not there, was split or stands twice in the list is said at once.
func platesOf(w *hall.Write, spots []Spot) ([]hall.Plate, error) {
	if len(spots) == 0 || len(spots) > mostAtOnce {
		return nil, fault.Wrong("plates", "place.how-many", "most", mostAtOnce)
	}
	wrong := map[string]message.Text{}
	seen := map[foray.ID]bool{}
	plates := make([]hall.Plate, len(spots))
	for i, s := range spots {
		plate, err := plateOf(w, s.Number)
		said := fault.From(err)
		switch {
		case err == nil && seen[plate.ID]:
			wrong[field(i)] = message.T("place.twice", "number", plate.Number().String())
		case err == nil:
			seen[plate.ID], plates[i] = true, plate
		case said.Kind == fault.NotFound:
			wrong[field(i)] = message.T("place.not-logged", "number", s.Number)
		case said.Kind == fault.Invalid || said.Kind == fault.Refused:
			wrong[field(i)] = why(said)
		default:
			return nil, err
		}
	}
	if len(wrong) > 0 {
		return nil, fault.Many(wrong)
	}
	return plates, nil
}

func plateOf(w *hall.Write, written string) (hall.Plate, error) {
	c, err := w.CollectionWritten(written)
	if err != nil {
		return hall.Plate{}, err
	}
	if c.Fate != store.Live {
		return hall.Plate{}, fault.New(fault.Refused, "place.no-plate", "number", c.Number().String())
	}
	return w.LockPlate(c.ID)
}
