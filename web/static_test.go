package web

import (
	"errors"
	"io/fs"
	"strings"
	"testing"
)

func TestAnAddressCarriesTheHashOfWhatItServes(t *testing.T) {
	for _, name := range []string{"hall.css", "names.js"} {
		address := Asset(name)
		file, err := Open(strings.TrimPrefix(address, Prefix))
		if err != nil {
			t.Fatalf("%s: %v", address, err)
		}
		if want := Prefix + withHash(name, file.Data); address != want {
			t.Errorf("%s is served at %s, want %s", name, address, want)
		}
		if withHash(name, append(file.Data, ' ')) == withHash(name, file.Data) {
			t.Errorf("%s: a changed file keeps its address", name)
		}
		if file.Type == "" {
			t.Errorf("%s has no content type", name)
		}
	}
}

func TestOldAndUnhashedAddressesAreNotServed(t *testing.T) {
	for _, name := range []string{"hall.css", "hall.000000000000.css", "../static.go", ""} {
		if _, err := Open(name); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("Open(%q) = %v, want not there", name, err)
		}
	}
}
