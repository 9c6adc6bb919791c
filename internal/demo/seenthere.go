package demo

import (
	"context"
	"fmt"

	"forayhall/internal/fault"
	"forayhall/internal/hall/fieldwork"
)

// seenThere is what was seen outside and left where it was; observer is a key.
type seenThere struct {
	fieldwork.Record
	key, observer string
}

func (s seenThere) written(ctx context.Context, b *book, by string) error {
	s.Observer = b.p.story.named(s.observer)
	stood, err := do(ctx, b.p, by, b.Scope, s.Record, fieldwork.AddRecord)
	b.records[s.key] = stood.Record
	return err
}

// stands is somebody who may determine, and stands behind a record; a scribe writes it for one without an account.
func stands(record, determiner string) act {
	return func(ctx context.Context, b *book, by string) error {
		id, ok := b.records[record]
		if !ok {
			return fmt.Errorf("nothing was seen as %q: %w", record, fault.Missing())
		}
		in := fieldwork.Stand{Record: id}
		if determiner != by {
			in.Determiner = b.p.person[determiner]
		}
		return using(in, fieldwork.StandBehind)(ctx, b, by)
	}
}

func (e *event) readSeenThere() error {
	return e.acts("records", "key,team,site,observer,name,substrate,host,count,remarks", func(r *row) act {
		return seenThere{key: r.text("key"), observer: r.text("observer"), Record: fieldwork.Record{Team: r.text("team"), Site: r.text("site"),
			Name: r.text("name"), Substrate: r.text("substrate"), Host: r.text("host"), Count: r.whole("count"), Remarks: r.text("remarks")}}.written
	})
}

func (e *event) readStands() error {
	return e.acts("stands", "key,determiner", func(r *row) act { return stands(r.text("key"), r.text("determiner")) })
}
