package house

import (
	"go/ast"
	"go/token"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"forayhall/internal/message"
)

// pageKeys begin the keys of web/view, whose own T and say leave it out.
const pageKeys = "pages."

// said is one call that says a text.
type said struct {
	where string
	key   string // "" when it is not a literal
	begin string // the literal a key is built on, as in "group." + code
}

// keyArgument gives the place of the key among a call's arguments, and what goes before it; -1 for calls that say
// nothing.
func keyArgument(s source, call *ast.CallExpr) (place int, before string) {
	name, qualifier := calledName(s, call)
	switch {
	case name == "T" && qualifier == "view":
		return 0, pageKeys
	case name == "say" && qualifier == "view":
		return 1, pageKeys
	case name == "Say", name == "T" && qualifier == "message":
		return 0, ""
	case name == "say", qualifier == "fault" && (name == "New" || name == "Wrong"):
		return 1, ""
	}
	return -1, ""
}

// calledName is the function's name and the last part of its package's path.
func calledName(s source, call *ast.CallExpr) (name, qualifier string) {
	switch f := call.Fun.(type) {
	case *ast.Ident:
		return f.Name, path.Base(s.room())
	case *ast.SelectorExpr:
		if x, ok := f.X.(*ast.Ident); ok {
			return f.Sel.Name, path.Base(s.imports()[x.Name])
		}
		return f.Sel.Name, ""
	}
	return "", ""
}

func texts(t *testing.T) (all []said) {
	t.Helper()
	for _, s := range code(t) {
		ast.Inspect(s.syntax, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok {
				return true
			}
			if i, before := keyArgument(s, call); i >= 0 && i < len(call.Args) {
				all = append(all, said{s.at(n), prefixed(before, literal(call.Args[i])),
					prefixed(before, beginning(call.Args[i]))})
			}
			return true
		})
	}
	return all
}

func prefixed(before, key string) string {
	if key == "" {
		return ""
	}
	return before + key
}

func literal(e ast.Expr) string {
	lit, ok := e.(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		return ""
	}
	s, err := strconv.Unquote(lit.Value)
	if err != nil {
		return ""
	}
	return s
}

func beginning(e ast.Expr) string {
	sum, ok := e.(*ast.BinaryExpr)
	if !ok || sum.Op != token.ADD {
		return ""
	}
	if left := literal(sum.X); left != "" {
		return left
	}
	return beginning(sum.X)
}

func TestMessages_that_are_said_are_in_the_catalogue(t *testing.T) {
	all := texts(t)
	if len(all) == 0 {
		t.Fatal("nothing says anything: the test looks for the wrong names")
	}
	for _, text := range all {
		if text.key != "" && !message.Has(text.key) {
			t.Errorf("%s says %q, which no catalogue has", text.where, text.key)
		}
		if text.begin != "" && text.begin != pageKeys && !anyKey(text.begin) {
			t.Errorf("%s builds a key on %q; the catalogue has none that begins so", text.where, text.begin)
		}
	}
}

func TestMessages_in_the_catalogue_are_said(t *testing.T) {
	used, begun, err := literals(t)
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range message.Keys() {
		base, _, _ := strings.Cut(key, "#")
		if !used[base] && !used[builtOn(base)] && !hasPrefixOf(base, begun) {
			t.Errorf("nothing says %q", key)
		}
	}
}

// builtOn is the key that another is built on: a label's for its hint, an area's for its values.
func builtOn(key string) string {
	if i := strings.LastIndexByte(key, '.'); i > 0 {
		return key[:i]
	}
	return ""
}

func anyKey(begin string) bool {
	for _, key := range message.Keys() {
		if strings.HasPrefix(key, begin) {
			return true
		}
	}
	return false
}

// quoted finds string literals in TypeScript well enough for keys, which hold no quotes.
var quoted = regexp.MustCompile("[\"'`]([a-z0-9._-]+)[\"'`]")

// literals are all string literals of Go code and of the scripts in web/src, since a key may travel through a table
// before it is said; and the beginnings, such as "group.", that keys are built on at run time.
func literals(t *testing.T) (used map[string]bool, begun []string, err error) {
	t.Helper()
	used = map[string]bool{}
	for _, s := range code(t) {
		befores := []string{""}
		if within(s.room(), "web/view") || within(s.room(), "internal/pages") {
			befores = append(befores, pageKeys)
		}
		ast.Inspect(s.syntax, func(n ast.Node) bool {
			e, ok := n.(ast.Expr)
			if !ok {
				return true
			}
			for _, before := range befores {
				used[before+literal(e)] = true
				if begin := beginning(e); strings.HasSuffix(begin, ".") && begin != pageKeys {
					begun = append(begun, before+begin)
				}
			}
			return true
		})
	}
	return used, begun, scriptLiterals(used)
}

func scriptLiterals(used map[string]bool) error {
	return walk(func(name string) error {
		if !strings.HasPrefix(name, "web/src/") || path.Ext(name) != ".ts" {
			return nil
		}
		text, err := os.ReadFile(filepath.Join(root, name))
		for _, match := range quoted.FindAllSubmatch(text, -1) {
			used[string(match[1])] = true
		}
		return err
	})
}
