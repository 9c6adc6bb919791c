package view

import (
	"context"
	"strconv"
	"time"

	"github.com/a-h/templ"
)

// Live is where a page hears of changes and what it has seen of them. Without a stream it stays as it is.
//
// A part of a page that lives is marked data-live and has an id: when something changed, web/src/live.ts asks for the
// page again and puts the new part in the old one's place, unless somebody is writing in it. The part is on the page
// also while there is nothing in it, and parts do not lie in parts. data-live="quiet" is for what nobody needs to be
// told of (a time, a form's version); data-live-name is what a part is called, where its first heading does not say.
// Pieces in it are marked where they are new: rows that the keys go through are data-row="KEY", others data-mark="KEY".
// What only grows older with the clock is marked data-ages, and is not news.
type Live struct {
	Stream string // address of the stream
	Seq    int64  // of the latest change when the page was made
	At     string // the hall's clock then, "15:41"
	// Spread is over how many milliseconds those who look ask for the page again, so that a hall full of telephones
	// does not do so in one moment.
	Spread int
	// Again is after how many seconds the page asks for itself though nothing was written: what it shows is late by
	// then, or no longer true. 0: never.
	Again int
}

// longestAgain is an hour: a page that lives asks at least so often where the clock alone changes it.
const longestAgain = time.Hour

// AskAgain lets the page ask for itself after so long. It is rounded up, so that the moment has come when it asks.
func (l *Live) AskAgain(after time.Duration) {
	if after > 0 {
		l.Again = int(min(after, longestAgain)/time.Second) + 1
	}
}

// attributes are the page's, with every text that the script may have to say.
func (l Live) attributes(ctx context.Context) templ.Attributes {
	if l.Stream == "" {
		return nil
	}
	all := templ.Attributes{"data-live-url": l.Stream, "data-seq": strconv.FormatInt(l.Seq, 10), "data-live-at": l.At, "data-live-spread": strconv.Itoa(l.Spread),
		"data-live-changed": say(ctx, "live.changed"), "data-live-here": say(ctx, "live.here"), "data-live-show": say(ctx, "live.show"),
		"data-live-lost": say(ctx, "live.lost"), "data-live-back": say(ctx, "live.back")}
	if l.Again > 0 {
		all["data-live-again"] = strconv.Itoa(l.Again)
	}
	return all
}

// scripts are the page's, in the order in which they run: live notes how the page was sent before another changes it.
func (l Layout) scripts() []string {
	var all []string
	for _, script := range []string{l.Assets.Live, l.Assets.Names, l.Assets.Desk, l.Assets.Photographs, l.Assets.Keys} {
		if script != "" && (script != l.Assets.Live || l.Live.Stream != "") {
			all = append(all, script)
		}
	}
	return all
}
