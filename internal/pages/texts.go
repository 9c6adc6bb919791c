package pages

import (
	"sort"

	"forayhall/internal/message"
)

func sortTexts(texts []message.Text) {
	sort.Slice(texts, func(i, j int) bool { return texts[i].Key < texts[j].Key })
}
