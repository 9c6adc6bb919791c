// Command build bundles web/src into web/static: one style sheet, and a script for each entry. It runs from the root of
// the module (go generate ./web). Nothing is minified: what a browser is sent can be read.
package main

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/evanw/esbuild/pkg/api"
)

// entries are the style sheet and every script that stands in web/src itself; what they import lies in folders.
func entries() ([]string, error) {
	scripts, err := filepath.Glob("web/src/*.[jt]s")
	return append(scripts, "web/src/hall.css"), err
}

func main() {
	from, err := entries()
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	result := api.Build(api.BuildOptions{
		EntryPoints: from,
		Outdir:      "web/static",
		Bundle:      true,
		Write:       true,
		Format:      api.FormatESModule,
		Charset:     api.CharsetUTF8,
		Target:      api.ES2022,
		LogLevel:    api.LogLevelWarning,
	})
	if len(result.Errors) > 0 {
		fmt.Fprintln(os.Stderr, "web/static is not built")
		os.Exit(1)
	}
}
