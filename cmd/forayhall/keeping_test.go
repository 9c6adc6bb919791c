package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const paper = "number,name,group\n1,Boletus edulis,bolete\n2,Amanita muscaria,ring_and_sack\n"

func read(t *testing.T, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestABackupIsRestoredIntoAnEmptyPlaceOnlyAndChecked(t *testing.T) {
	eachPlace(t, func(t *testing.T, at []string) {
		dir := t.TempDir()
		file, again, there := filepath.Join(dir, "a.zip"), filepath.Join(dir, "b.zip"), []string{"--data", filepath.Join(dir, "there")}
		must(t, paper, append([]string{"import", "collections", "-", "--event", "HB24"}, at...)...)
		must(t, "", append([]string{"backup", file}, at...)...)
		must(t, "", append([]string{"backup", again}, at...)...)
		if !bytes.Equal(read(t, file), read(t, again)) {
			t.Error("two backups of the same content differ")
		}
		if info, err := os.Stat(file); err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("others may read a backup: %v, %v", info, err)
		}
		if left, err := os.ReadDir(dir); err != nil || len(left) != 2 {
			t.Errorf("a backup left more than its file: %v, %v", left, err)
		}
		must(t, "", append([]string{"restore", file}, there...)...)
		if c := must(t, "", append([]string{"check"}, there...)...); !strings.Contains(c.out, "collections 2") {
			t.Errorf("checked %q", c.out)
		}
		if c := call(t, "", append([]string{"restore", file}, there...)...); c.code != exitFailed || !strings.Contains(c.err, "empty") {
			t.Errorf("a second restore: %+v", c)
		}
	})
}

func TestABackupThatCannotBeWrittenLeavesTheOldOne(t *testing.T) {
	at := []string{"--data", filepath.Join(t.TempDir(), "data")}
	begin(t, at)
	file := filepath.Join(t.TempDir(), "none", "a.zip")
	if c := call(t, "", append([]string{"backup", file}, at...)...); c.code == exitDone {
		t.Errorf("a backup into a folder that is not there: %+v", c)
	}
	if c := call(t, "", "restore", file, "--data", filepath.Join(t.TempDir(), "new")); c.code != exitWrong || !strings.Contains(c.err, "cannot be read") {
		t.Errorf("a file that is not there: %+v", c)
	}
}

func TestAnEventIsBroughtInOnceAndRefusedWhenItIsAnother(t *testing.T) {
	eachPlace(t, func(t *testing.T, at []string) {
		dir := t.TempDir()
		first, second, there := filepath.Join(dir, "first.zip"), filepath.Join(dir, "second.zip"), []string{"--data", filepath.Join(dir, "there")}
		export := []string{"export", "--event", "HB24", "--as", "event", "--out"}
		must(t, paper, append([]string{"import", "collections", "-", "--event", "HB24"}, at...)...)
		must(t, "", append(append(export, first), at...)...)
		must(t, "number,name,group\n3,Boletus edulis,bolete\n", append([]string{"import", "collections", "-", "--event", "HB24"}, at...)...)
		must(t, "", append(append(export, second), at...)...)
		must(t, "", append([]string{"import", "event", first}, there...)...)
		if c := must(t, "", append([]string{"import", "event", first}, there...)...); !strings.Contains(c.err, "already") {
			t.Errorf("the same package again: %+v", c)
		}
		if c := call(t, "", append([]string{"import", "event", second}, there...)...); c.code != exitFailed || !strings.Contains(c.err, "its home is here") {
			t.Errorf("a changed copy: %+v", c)
		}
		if c := call(t, "", append([]string{"restore", first}, at...)...); c.code != exitFailed || !strings.Contains(c.err, "import event") {
			t.Errorf("an event's package as a backup: %+v", c)
		}
		must(t, "", append([]string{"check"}, there...)...)
	})
}
