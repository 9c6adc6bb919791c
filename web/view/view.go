// Package view turns typed structs into HTML pages. A page handler fills a struct and renders it; a misspelt field
// does not compile. It never looks anything up, never decides who may do what (a form that is nil may not be sent
// by this person and is not drawn), and never holds a text: every word comes from the message catalogue or from
// the struct. No page carries an inline style or script, so that the strictest content policy holds.
package view

import (
	"context"

	"forayhall/internal/message"
)

// T is a text of the pages' own catalogue, for handlers that fill a struct: T("flash.saved", "number", n).
func T(key string, pairs ...any) message.Text { return message.T("pages."+key, pairs...) }

// say renders a text of the pages' own catalogue in the reader's language.
func say(ctx context.Context, key string, pairs ...any) string {
	return tell(ctx, T(key, pairs...))
}

// tell renders any text in the reader's language; nothing where there is nothing to say.
func tell(ctx context.Context, t message.Text) string {
	if t.IsZero() {
		return ""
	}
	return message.From(ctx).Text(t)
}

// lang is the reader's language tag.
func lang(ctx context.Context) string { return message.From(ctx).Language() }
