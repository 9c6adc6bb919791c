package demo

import (
	"context"
	"fmt"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/hall/earlier"
	"forayhall/seed"
)

// earlierList is a list of what was found before, as the list keeper takes it in while an event is set up. Its names are
// those of its time.
type earlierList struct {
	at    time.Time
	by    string
	about earlier.About
}

// readEarlier reads which lists the society has.
func (e *event) readEarlier() error {
	return eachRow("earlier", []string{"event", "at", "by", "file", "title", "scope", "site", "area", "source", "period"}, func(r *row) {
		if r.text("event") != e.set.Code {
			return
		}
		e.earlier = append(e.earlier, earlierList{at: r.at("at", e.zone), by: r.text("by"), about: earlier.About{Title: r.text("title"), Scope: r.text("scope"),
			Site: r.text("site"), Area: r.text("area"), Source: r.text("source"), Period: r.text("period"), File: r.text("file")}})
	})
}

func (p *player) earlierLists(ctx context.Context, scope access.Scope, lists []earlierList) error {
	for _, l := range lists {
		if err := p.earlierList(ctx, scope, l); err != nil {
			return fmt.Errorf("take in %s: %w", l.about.File, err)
		}
	}
	return nil
}

func (p *player) earlierList(ctx context.Context, scope access.Scope, l earlierList) error {
	f, err := seed.Demo.Open("demo/" + l.about.File)
	if err != nil {
		return err
	}
	defer f.Close()
	t, err := archive.ReadListTable(ctx, f, l.about.File)
	if err != nil {
		return err
	}
	p.now = l.at
	cmd, err := p.command()
	if err != nil {
		return err
	}
	_, err = earlier.Import(ctx, p.hall, p.actor(l.by), scope, cmd, l.about, t, earlier.Options{})
	return err
}
