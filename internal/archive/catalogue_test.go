package archive

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"forayhall/internal/message"
)

// A key without a text would be shown as itself; a text without a key is dead.
func TestEveryKeyHasATextAndEveryTextAKey(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	used := map[string]bool{}
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") {
			continue
		}
		source, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range regexp.MustCompile(`"(archive\.[a-z-]+)"`).FindAllSubmatch(source, -1) {
			used[string(m[1])] = true
		}
	}
	for key := range used {
		if !message.Has(key) {
			t.Errorf("%s has no text", key)
		}
	}
	for _, key := range message.Keys() {
		plain, _, _ := strings.Cut(key, "#")
		if strings.HasPrefix(plain, "archive.") && !used[plain] {
			t.Errorf("%s is not used", key)
		}
	}
}
