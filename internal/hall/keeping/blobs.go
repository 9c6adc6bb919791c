package keeping

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"net/http"
	"slices"

	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// packBlobs writes the pictures that a part's rows name. What is gone or damaged does not keep the rest from being
// saved: the manifest lists it.
func packBlobs(ctx context.Context, h *hall.Hall, p *archive.PackageWriter, shas []string) (lost int, err error) {
	for _, sha := range shas {
		data, err := blob(ctx, h, sha)
		switch {
		case errors.Is(err, errLost):
			p.Lost(sha)
			lost++
		case err != nil:
			return lost, err
		default:
			if err := p.Blob(sha, bytes.NewReader(data)); err != nil {
				return lost, err
			}
		}
	}
	return lost, nil
}

// errLost is that a blob is not there, or is not what it was.
var errLost = errors.New("keeping: a blob is gone or damaged")

// blob reads a blob and holds it against its name.
func blob(ctx context.Context, h *hall.Hall, sha string) ([]byte, error) {
	if h.Blobs == nil {
		return nil, errLost
	}
	r, _, err := h.Blobs.Get(ctx, sha)
	if fault.Is(err, fault.NotFound) {
		return nil, errLost
	}
	if err != nil {
		return nil, err
	}
	defer r.Close()
	data, err := io.ReadAll(r)
	if err != nil {
		return nil, fmt.Errorf("read blob %s: %w", sha, err)
	}
	if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != sha {
		return nil, errLost
	}
	return data, nil
}

// blobsMatch refuses a package whose pictures are not those that its rows name: each that is named must be in it, or
// on its list of those that were lost, and no other. tx holds the rows as they were taken.
func blobsMatch(tx *store.Tx, p *archive.Package, part store.Part) error {
	named, err := tx.BlobsOf(part)
	if err != nil {
		return err
	}
	brought := slices.Concat(p.Blobs(), p.Manifest.Lost)
	slices.Sort(brought)
	if !slices.Equal(named, brought) {
		return fault.New(fault.Invalid, "keeping.blobs-not-named")
	}
	return nil
}

// takeBlobs keeps a package's pictures, before the rows that name them: a transaction does not wait for a disk. Where the
// rows are refused afterwards nothing names them, and they are cleared out like others.
func takeBlobs(ctx context.Context, h *hall.Hall, p *archive.Package) error {
	if len(p.Blobs()) > 0 && h.Blobs == nil {
		return fault.New(fault.Refused, "keeping.blobs")
	}
	for _, sha := range p.Blobs() {
		if err := takeBlob(ctx, h, p, sha); err != nil {
			return err
		}
	}
	return nil
}

func takeBlob(ctx context.Context, h *hall.Hall, p *archive.Package, sha string) error {
	r, err := p.Blob(sha)
	if err != nil {
		return err
	}
	defer r.Close()
	data, err := io.ReadAll(r) // its size was looked at when the package was opened
	if err != nil {
		return fmt.Errorf("read blob %s of the package: %w", sha, err)
	}
	// Browsers are told that a blob is a JPEG; beside those there are the indexes of lists of names, which no browser gets.
	if _, err := taxon.Open(data); err != nil && http.DetectContentType(data) != "image/jpeg" {
		return fault.New(fault.Invalid, "keeping.blob-not-a-picture", "sha256", sha)
	}
	return h.Blobs.Put(ctx, sha, data)
}

// checkBlobs reads every picture that a row names and reports those that are gone or damaged.
func checkBlobs(ctx context.Context, h *hall.Hall) (broken []store.Broken, err error) {
	var shas []string
	if err := h.Store.Read(ctx, func(tx *store.Tx) (err error) { shas, err = tx.BlobsOf(store.Part{}); return err }); err != nil {
		return nil, err
	}
	for _, sha := range shas {
		_, err := blob(ctx, h, sha)
		switch {
		case errors.Is(err, errLost):
			found, err := lostIn(ctx, h, sha)
			if err != nil {
				return nil, err
			}
			broken = append(broken, found...)
		case err != nil:
			return nil, err
		}
	}
	return broken, nil
}

// lostIn says which photographs, or which list of names, a lost blob belongs to.
func lostIn(ctx context.Context, h *hall.Hall, sha string) (broken []store.Broken, err error) {
	err = h.Store.Read(ctx, func(tx *store.Tx) error {
		photos, err := tx.PhotographsBySha(sha)
		if err != nil {
			return err
		}
		for _, p := range photos {
			e, err := tx.EventByID(p.SocietyID, p.EventID)
			if err != nil {
				return err
			}
			broken = append(broken, store.Broken{Rule: "photographs", Text: message.T("check.photograph", "event", e.Code, "photograph", p.ID.String(), "sha256", sha)})
		}
		lists, err := tx.Checklists()
		for _, c := range lists {
			if c.IndexSha256 == sha {
				broken = append(broken, store.Broken{Rule: "checklists", Text: message.T("check.checklist", "title", c.Title, "edition", c.Edition, "sha256", sha)})
			}
		}
		return err
	})
	return broken, err
}
