package pages

import (
	"forayhall/internal/hall"
	"net/url"
	"sort"

	"forayhall/internal/message"
)

// templQuery is the rest of an address that begins with "&"; empty values are left out.
type templQuery struct{ values url.Values }

func (q *templQuery) add(name, value string) {
	if q.values == nil {
		q.values = url.Values{}
	}
	if value != "" {
		q.values.Set(name, value)
	}
}

func (q templQuery) String() string {
	if len(q.values) == 0 {
		return ""
	}
	return "&" + q.values.Encode()
}

func sortTexts(texts []message.Text) {
	sort.Slice(texts, func(i, j int) bool { return texts[i].Key < texts[j].Key })
}

func noted(notes []hall.CharacterNote, character string) bool {
	for _, n := range notes {
		if n.Character == character {
			return true
		}
	}
	return false
}
