package main

import (
	"context"
	"log/slog"
	"os"
	"path/filepath"
	"time"

	"forayhall/internal/hall/photographs"
	"forayhall/internal/media"
	"forayhall/internal/message"
)

const (
	// halfWritten is older than any file that another process may still be writing.
	halfWritten = time.Hour
	// firstClearing leaves a server that just started to those who wait for it.
	firstClearing = 5 * time.Minute
)

// openBlobs opens where photographs are kept: the S3 service that the environment names, else a folder beside the keys.
func openBlobs(dir string) (media.Blobs, error) {
	c, wanted, err := media.S3FromEnv(os.Getenv)
	if err != nil {
		return nil, err
	}
	if wanted {
		return media.OpenS3(c)
	}
	return media.OpenFolder(filepath.Join(dir, "photographs"))
}

// readyBlobs asks a service whether it lets us in, before anybody sends a photograph, and sweeps a folder of what a
// killed process left half written.
func (in *installation) readyBlobs(ctx context.Context, e *env) error {
	switch blobs := in.Blobs.(type) {
	case *media.S3:
		return blobs.Ready(ctx)
	case *media.Folder:
		n, err := blobs.Sweep(ctx, time.Now().Add(-halfWritten))
		if n > 0 {
			e.note(message.T("photograph.swept", "n", n))
		}
		return err
	}
	return nil
}

// clearBlobs takes away, once a day, blobs that no photograph names. It goes by the machine's clock, as the blobs do.
func (in *installation) clearBlobs(ctx context.Context, log *slog.Logger) {
	for wait := firstClearing; ; wait = 24 * time.Hour {
		select {
		case <-ctx.Done():
			return
		case <-time.After(wait):
		}
		n, err := photographs.ClearBlobs(ctx, in.Hall, time.Now().Add(-photographs.Unnamed))
		switch {
		case err != nil && ctx.Err() == nil:
			log.Error("clear out photographs that nothing names", "error", err)
		case n > 0:
			log.Info("cleared out photographs that nothing names", "files", n)
		}
	}
}
