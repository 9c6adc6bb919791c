package view

import "forayhall/internal/message"

// Head is what machines read of a page: search engines and feed readers.
type Head struct {
	Canonical string // the page's one address, with the host; empty: it has none
	About     message.Text
	Hidden    bool // not to be found by searching: what is behind the sign-in, and errors
	Feeds     []Feed
	Data      any // in the words of schema.org; nil: none
}

// Feed is the same news in a form that programs follow.
type Feed struct {
	Type  string // media type
	Path  string
	Title message.Text
}
