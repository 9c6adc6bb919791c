package view

import "net/url"

// Letter is the address of the page from which letters to land managers are made.
func (e Event) Letter() string { return e.Path + "/letter" }

// LetterPDF is a letter about one site on a size of paper; LetterText is the same as plain text.
func (e Event) LetterPDF(site, size string) string {
	return e.Letter() + ".pdf?" + url.Values{"site": {site}, "size": {size}}.Encode()
}

func (e Event) LetterText(site string) string {
	return e.Letter() + ".txt?" + url.Values{"site": {site}}.Encode()
}

// The papers of the running list, and of a signed version.
func (e Event) ListXLSX() string            { return e.Running() + ".xlsx" }
func (e Event) ListPDF() string             { return e.Running() + ".pdf" }
func (e Event) ListText() string            { return e.Running() + ".txt" }
func (e Event) VersionXLSX(n int) string    { return e.Version(n) + "/xlsx" }
func (e Event) VersionBooklet(n int) string { return e.Version(n) + "/pdf" }
func (e Event) VersionText(n int) string    { return e.Version(n) + "/txt" }

// LetterPage is from where letters to land managers are made.
type LetterPage struct {
	Layout Layout
	Sites  []LetterSite
	Facts  string // where contact and licence are said
}

// LetterSite is one site with its letter.
type LetterSite struct {
	Code, Name string
	Papers     []Link
}
