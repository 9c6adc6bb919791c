package view

import "github.com/a-h/templ"

// Key is a key of a page, as its list says it.
type Key struct {
	Press string // "j", "?"
	Text  string // key of the text in the pages' catalogue: "keys.next"
}

// rowKeys are what pages with rows have in common.
var rowKeys = []Key{{"j", "keys.next"}, {"k", "keys.previous"}, {"Enter", "keys.open"}}

var findKey = Key{"f", "keys.find"}

// everywhere ends every list.
var everywhere = []Key{{"Esc", "keys.leave"}, {"?", "keys.list"}}

// KeysOfQueue, KeysOfCollections and KeysOfCollection are the lists at the foot of their pages. A key that a template
// gives with press is in its page's list, or nobody would find it; a test holds both together.
var (
	KeysOfQueue       = append([]Key{{"m", "keys.many"}, {"g", "keys.groups"}}, rowKeys...)
	KeysOfCollections = append([]Key{findKey}, rowKeys...)
)

// press gives an element its key: { press(key)... } on a link, button, field, fieldset or summary. What a press does
// is written at the top of web/src/keys.ts.
func press(k Key) templ.Attributes {
	if k.Press == "" {
		return nil
	}
	return templ.Attributes{"data-key": k.Press, "aria-keyshortcuts": k.Press}
}
