package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"forayhall/internal/hall"
	"forayhall/internal/media"
	"forayhall/internal/message"
)

func TestPhotographsAreKeptInTheFolderUnlessAServiceIsNamed(t *testing.T) {
	dir := t.TempDir()
	blobs, err := openBlobs(dir)
	if _, folder := blobs.(*media.Folder); err != nil || !folder {
		t.Errorf("%T, %v", blobs, err)
	}
	if info, err := os.Stat(filepath.Join(dir, "photographs")); err != nil || !info.IsDir() {
		t.Errorf("no folder: %v", err)
	}
	t.Setenv("FORAYHALL_S3_BUCKET", "foray")
	if _, err := openBlobs(dir); err == nil {
		t.Error("half of a service's settings were taken")
	}
	t.Setenv("FORAYHALL_S3_ENDPOINT", "http://127.0.0.1:1")
	t.Setenv("FORAYHALL_S3_KEY_ID", "key")
	t.Setenv("FORAYHALL_S3_SECRET", "secret")
	if blobs, err = openBlobs(dir); err != nil {
		t.Fatal(err)
	}
	if _, service := blobs.(*media.S3); !service {
		t.Errorf("%T, want the service", blobs)
	}
}

func TestWhatWasLeftHalfWrittenIsSweptAtTheStart(t *testing.T) {
	dir := t.TempDir()
	blobs, err := openBlobs(dir)
	if err != nil {
		t.Fatal(err)
	}
	old, young := filepath.Join(dir, "photographs", "unfinished-1"), filepath.Join(dir, "photographs", "unfinished-2")
	for _, name := range []string{old, young} {
		if err := os.WriteFile(name, []byte("half"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Chtimes(old, time.Time{}, time.Now().Add(-2*time.Hour)); err != nil {
		t.Fatal(err)
	}
	var said strings.Builder
	in := &installation{Hall: &hall.Hall{Blobs: blobs}}
	if err := in.readyBlobs(t.Context(), &env{stderr: &said, say: message.For(message.English)}); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(old); !os.IsNotExist(err) || !strings.Contains(said.String(), "1") {
		t.Errorf("the old one is still there: %v; said %q", err, said.String())
	}
	if _, err := os.Stat(young); err != nil {
		t.Errorf("what may still be written is gone: %v", err)
	}
}
