package house

import (
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
)

const module = "forayhall"

// root is the repository, two folders above this package.
const root = "../.."

// source is one Go file of the tree.
type source struct {
	name      string // from the root, with slashes
	text      []byte
	syntax    *ast.File
	positions *token.FileSet
}

func (s source) room() string { return path.Dir(s.name) }
func (s source) isTest() bool { return strings.HasSuffix(s.name, "_test.go") }
func (s source) at(n ast.Node) string {
	return s.name + ":" + strconv.Itoa(s.positions.Position(n.Pos()).Line)
}

// isGenerated follows https://go.dev/s/generatedcode.
func (s source) isGenerated() bool { return ast.IsGenerated(s.syntax) }

// imports maps the name a file uses to the path it stands for.
func (s source) imports() map[string]string {
	paths := map[string]string{}
	for _, spec := range s.syntax.Imports {
		p, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			continue // the parser has taken it as a string
		}
		name := path.Base(p)
		if name == "v2" {
			name = path.Base(path.Dir(p))
		}
		if spec.Name != nil {
			name = spec.Name.Name
		}
		paths[name] = p
	}
	return paths
}

var goFiles = sync.OnceValues(func() ([]source, error) {
	var sources []source
	positions := token.NewFileSet()
	err := walk(func(name string) error {
		if !strings.HasSuffix(name, ".go") {
			return nil
		}
		text, err := os.ReadFile(filepath.Join(root, name))
		if err != nil {
			return err
		}
		syntax, err := parser.ParseFile(positions, name, text, parser.ParseComments|parser.SkipObjectResolution)
		sources = append(sources, source{name, text, syntax, positions})
		return err
	})
	return sources, err
})

func tree(t *testing.T) []source {
	t.Helper()
	sources, err := goFiles()
	if err != nil {
		t.Fatal(err)
	}
	return sources
}

// code is the tree without tests and without the packages that only tests import.
func code(t *testing.T) []source {
	t.Helper()
	return slices.DeleteFunc(slices.Clone(tree(t)), func(s source) bool { return s.isTest() || isForTests(s.room()) })
}

func isForTests(room string) bool {
	return strings.HasSuffix(room, "test") || room == "internal/house" || within(room, "internal/browser") ||
		within(room, "deploy")
}

func within(name, folder string) bool { return name == folder || strings.HasPrefix(name, folder+"/") }

// walk calls with every file that is the project's own: no dot-folders, no fetched modules.
func walk(visit func(name string) error) error {
	return filepath.WalkDir(root, func(file string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, err := filepath.Rel(root, file)
		if err != nil {
			return err
		}
		name = filepath.ToSlash(name)
		if entry.IsDir() {
			if name != "." && name != ".ci" && (strings.HasPrefix(entry.Name(), ".") || entry.Name() == "node_modules") {
				return fs.SkipDir
			}
			return nil
		}
		return visit(name)
	})
}

func lines(text []byte) int { return bytes.Count(text, []byte("\n")) }
