package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Would catch a dry run that writes, a list that is taken twice, and a name that is guessed.
func TestAListIsTakenInByCommandAndTheSameAgainIsTheSame(t *testing.T) {
	eachPlace(t, func(t *testing.T, at []string) {
		file := filepath.Join(t.TempDir(), "fellshire.csv")
		if err := os.WriteFile(file, []byte("name;date\nBoletus badius;1998\nImleria badia;1999\nAmanita muscara;2001\nInventaria nova;\n"), 0o600); err != nil {
			t.Fatal(err)
		}
		bring := append([]string{"import", "list", file, "--society", "hollinbeck", "--title", "Fungi of Fellshire", "--scope", "record", "--area", "Fellshire", "--source", "Pugh 2020"}, at...)
		dry := must(t, "", append(bring, "--dry-run")...)
		var got []string
		for _, r := range rows(t, dry.out) {
			got = append(got, strings.Join([]string{r["what"], r["line"], r["written"], r["read"], r["now"]}, " | "))
		}
		want := "asked | 4 | Amanita muscara | Amanita muscaria | \nformer name | 2 | Boletus badius | Boletus badius | Imleria badia\nunknown, kept | 5 | Inventaria nova |  | "
		if strings.Join(got, "\n") != want || !strings.Contains(dry.err, "4 lines would be taken in") {
			t.Errorf("%s\n%s", strings.Join(got, "\n"), dry.err)
		}
		if c := call(t, "", bring...); c.code != exitWrong || !strings.Contains(c.err, "Amanita muscara") {
			t.Errorf("a misspelling is not asked back: exit %d, %s", c.code, c.err)
		}
		id := func(args ...string) string {
			var out struct{ ID string }
			c := must(t, "", append(append([]string{}, bring...), append(args, "--json")...)...)
			if err := json.Unmarshal([]byte(c.out), &out); err != nil || out.ID == "" {
				t.Fatal(err, c.out)
			}
			return out.ID
		}
		if first := id("--take-spellings"); id("--take-spellings") != first {
			t.Error("the same command made another list")
		}
		if c := call(t, "", append(bring, "--as-written")...); c.code != exitWrong || !strings.Contains(c.err, "there already") {
			t.Errorf("the same list with other answers: exit %d, %s", c.code, c.err)
		}
		if c := call(t, "", append([]string{"import", "list", file, "--society", "hollinbeck", "--title", "x", "--scope", "site", "--source", "y"}, at...)...); c.code != exitWrong || !strings.Contains(c.err, "Say of which site") {
			t.Errorf("a list of no site: exit %d, %s", c.code, c.err)
		}
		must(t, "", append([]string{"check"}, at...)...)
	})
}
