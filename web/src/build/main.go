// Command build bundles web/src into web/static: one style sheet, and a script for each entry. It runs from the root of
// the module (go generate ./web). Nothing is minified: what a browser is sent can be read.
package main

import (
	"fmt"
	"os"

	"github.com/evanw/esbuild/pkg/api"
)

var entries = []string{"web/src/hall.css", "web/src/names.js"}

func main() {
	result := api.Build(api.BuildOptions{
		EntryPoints: entries,
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
