// Package web embeds what a browser is sent as it stands: the style sheet and the scripts. An address carries a part
// of the file's hash, so that a browser may keep a file for ever and still never shows an old one.
package web

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"path"
	"strings"
)

//go:generate go run -C .. ./web/src/build

//go:embed static
var static embed.FS

// Prefix is where the files are served.
const Prefix = "/static/"

var (
	addresses = map[string]string{} // hall.css → /static/hall.0123456789ab.css
	stored    = map[string]string{} // hall.0123456789ab.css → hall.css
)

func init() {
	entries, err := fs.ReadDir(static, "static")
	if err != nil {
		panic(err)
	}
	for _, e := range entries {
		if e.IsDir() {
			continue
		}
		data, err := static.ReadFile("static/" + e.Name())
		if err != nil {
			panic(err)
		}
		hashed := withHash(e.Name(), data)
		addresses[e.Name()] = Prefix + hashed
		stored[hashed] = e.Name()
	}
}

func withHash(name string, data []byte) string {
	sum := sha256.Sum256(data)
	ext := path.Ext(name)
	return strings.TrimSuffix(name, ext) + "." + hex.EncodeToString(sum[:6]) + ext
}

// Asset is the address of a file, with its hash. A file that is not there is a mistake in the programme.
func Asset(name string) string {
	address, ok := addresses[name]
	if !ok {
		panic("web: no file " + name)
	}
	return address
}

// File is a file as it is sent.
type File struct {
	Data []byte
	Type string // Content-Type
}

var types = map[string]string{
	".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".svg": "image/svg+xml", ".png": "image/png",
}

// Open gives the file behind an address below Prefix, such as "hall.0123456789ab.css". Only the present hash is
// answered, so that whoever keeps the answer for ever never keeps a wrong one.
func Open(name string) (File, error) {
	plain, ok := stored[name]
	if !ok {
		return File{}, fs.ErrNotExist
	}
	data, err := static.ReadFile("static/" + plain)
	if err != nil {
		return File{}, err
	}
	return File{Data: data, Type: types[path.Ext(plain)]}, nil
}
