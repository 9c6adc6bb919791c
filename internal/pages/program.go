package pages

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"
	"sync"
)

// program is a part of the hash of the running program. What a page says depends on it too: a browser must not be
// told that it has the page when a newer program would say something else.
var program = sync.OnceValue(func() string {
	sum := sha256.New()
	if err := hashProgram(sum); err != nil {
		return rand.Text()
	}
	return hex.EncodeToString(sum.Sum(nil)[:6])
})

func hashProgram(sum io.Writer) error {
	path, err := os.Executable()
	if err != nil {
		return err
	}
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	_, err = io.Copy(sum, f)
	return err
}
