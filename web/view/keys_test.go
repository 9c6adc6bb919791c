package view

import (
	"regexp"
	"testing"

	"golang.org/x/net/html"

	"forayhall/internal/message"
)

// free are the keys that an element may have: no browser takes them for itself, nor do they search in one.
var free = regexp.MustCompile(`^[a-z0-9]$`)

// It catches a key that stands in no list and so is found by nobody, one that is there twice, and one that a browser
// has for itself.
func TestEveryKeyOfAPageStandsInItsListOnce(t *testing.T) {
	pages := 0
	for _, s := range samples() {
		listed, given := map[string]int{}, map[string]int{}
		rows := false // where there are rows, j and k go through them
		each(render(t, s, message.English), func(n *html.Node) { rows = rows || attr(n, "data-row") != "" })
		each(render(t, s, message.English), func(n *html.Node) {
			if n.Data == "kbd" && n.FirstChild != nil && inList(n) {
				listed[n.FirstChild.Data]++
			}
			if key := attr(n, "data-key"); key != "" {
				given[key]++
				if !free.MatchString(key) || rows && (key == "j" || key == "k") {
					t.Errorf("%s: %q is not free for an element", s.name, key)
				}
			}
		})
		if len(listed) > 0 {
			pages++
		}
		for key := range given {
			if listed[key] != 1 {
				t.Errorf("%s: %s stands %d times in the page's list", s.name, key, listed[key])
			}
		}
		for key, n := range listed {
			if n > 1 {
				t.Errorf("%s: %s is listed %d times", s.name, key, n)
			}
		}
	}
	if pages < 3 {
		t.Errorf("only %d pages have a list of keys", pages)
	}
}

func inList(n *html.Node) bool {
	for ; n != nil; n = n.Parent {
		if attr(n, "id") == "keys" {
			return true
		}
	}
	return false
}

func TestWhatLivesHasAnIDAndLiesInNothingThatLives(t *testing.T) {
	for _, s := range samples() {
		each(render(t, s, message.English), func(n *html.Node) {
			if n.Type != html.ElementNode || !has(n, "data-live") {
				return
			}
			if attr(n, "id") == "" {
				t.Errorf("%s: a part that lives has no id", s.name)
			}
			for up := n.Parent; up != nil; up = up.Parent {
				if has(up, "data-live") {
					t.Errorf("%s: %s lies in %s, which lives too", s.name, attr(n, "id"), attr(up, "id"))
				}
			}
		})
	}
}
