// Package keeping is how what is in the hall outlives its machine: the backup of an installation, its restoring, the
// package of one event, and the check that reads everything. A package is taken whole or not at all, and nothing that
// is here is ever changed by one.
package keeping

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"slices"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// Packed is what a package holds.
type Packed struct {
	Rows   int
	Blobs  int    // pictures
	Lost   int    // pictures that rows name and that are gone or damaged
	SHA256 string // of the whole file
}

// Backup writes the whole installation as it is at one moment; others may go on writing. The same content gives the
// same bytes. Sessions stay behind: people sign in again.
func Backup(ctx context.Context, h *hall.Hall, w io.Writer) (Packed, error) {
	_, schema, err := schemaOf(ctx, h)
	if err != nil {
		return Packed{}, err
	}
	packed, err := pack(ctx, h, w, func(write packing) error {
		return h.Store.Read(ctx, func(tx *store.Tx) error {
			return write(tx, store.Part{}, archive.Manifest{Schema: schema, Kind: archive.Backup, About: about("keeping.about-backup")})
		})
	})
	if err != nil {
		return Packed{}, fmt.Errorf("write a backup: %w", err)
	}
	return packed, nil
}

// ExportEvent writes one event with the people it names, but not how they sign in. It is for whoever goes on with the
// event, and so holds its private photographs too.
func ExportEvent(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, w io.Writer) (Packed, error) {
	_, schema, err := schemaOf(ctx, h)
	if err != nil {
		return Packed{}, err
	}
	packed, err := pack(ctx, h, w, func(write packing) error {
		return h.View(ctx, actor, access.SetUp, scope, func(l *hall.Look) error {
			manifest, err := eventManifest(l.Tx, scope, schema)
			if err != nil {
				return err
			}
			return write(l.Tx, store.Part{Society: scope.Society, Event: scope.Event}, manifest)
		})
	})
	if err != nil {
		return Packed{}, fmt.Errorf("write an event's package: %w", err)
	}
	return packed, nil
}

func eventManifest(tx *store.Tx, scope access.Scope, schema int) (archive.Manifest, error) {
	society, err := tx.SocietyByID(scope.Society)
	if err != nil {
		return archive.Manifest{}, err
	}
	event, err := tx.EventByID(scope.Society, scope.Event)
	return archive.Manifest{Schema: schema, Kind: archive.Event, Society: archive.Owner{ID: society.ID.URN(), Code: society.Code},
		Event: archive.Owner{ID: event.ID.URN(), Code: event.Code}, About: about("keeping.about-event")}, err
}

// about is what a package says of itself. It is in one language, so that the same content gives the same bytes.
func about(key string) string { return message.For(message.English).Say(key) }

// Check reads the whole database and every photograph, and reports every rule that is broken. It changes nothing.
func Check(ctx context.Context, h *hall.Hall) (store.Checked, error) {
	if _, _, err := schemaOf(ctx, h); err != nil {
		return store.Checked{}, err
	}
	var checked store.Checked
	err := h.Store.Read(ctx, func(tx *store.Tx) (err error) {
		checked, err = tx.Check()
		return err
	})
	if err != nil {
		return checked, err
	}
	lost, err := checkBlobs(ctx, h)
	checked.Broken = append(checked.Broken, lost...)
	return checked, err
}

func schemaOf(ctx context.Context, h *hall.Hall) (has, knows int, err error) {
	if err := h.Store.RequireSchema(ctx); err != nil {
		return 0, 0, err
	}
	a, b, err := h.Store.SchemaVersions(ctx)
	return int(a), int(b), err
}

// packing writes the rows of a part of the database, and remembers which pictures they name.
type packing func(tx *store.Tx, part store.Part, manifest archive.Manifest) error

// pack writes a package to w: first the rows, on one snapshot, then the pictures, for which nobody need wait.
func pack(ctx context.Context, h *hall.Hall, w io.Writer, rows func(write packing) error) (Packed, error) {
	sum := sha256.New()
	var p *archive.PackageWriter
	var shas []string
	err := rows(func(tx *store.Tx, part store.Part, manifest archive.Manifest) (err error) {
		p = archive.NewPackageWriter(io.MultiWriter(w, sum), manifest)
		if err = writeTables(tx, part, p); err != nil {
			return err
		}
		shas, err = tx.BlobsOf(part)
		return err
	})
	if err != nil {
		return Packed{}, err
	}
	var packed Packed
	if packed.Lost, err = packBlobs(ctx, h, p, shas); err != nil {
		return Packed{}, err
	}
	err = p.Close()
	packed.SHA256, packed.Blobs = hex.EncodeToString(sum.Sum(nil)), len(shas)-packed.Lost
	for _, m := range p.Members() {
		packed.Rows += m.Rows
	}
	return packed, err
}

func writeTables(tx *store.Tx, part store.Part, p *archive.PackageWriter) error {
	for _, table := range part.Tables() {
		lines, err := p.Table(table)
		if err != nil {
			return err
		}
		if err := tx.Dump(table, part, func(row map[string]any) error { return lines.Write(row) }); err != nil {
			return err
		}
	}
	return nil
}

// tablesHere are the tables of a part as a package would hold them now.
func tablesHere(tx *store.Tx, part store.Part) ([]archive.Member, error) {
	p := archive.NewPackageWriter(io.Discard, archive.Manifest{})
	if err := writeTables(tx, part, p); err != nil {
		return nil, err
	}
	err := p.Close()
	return p.Members(), err
}

// open reads a package and refuses one that this program did not write for this purpose.
func open(ctx context.Context, h *hall.Hall, file io.ReaderAt, size int64, kind string) (*archive.Package, error) {
	_, schema, err := schemaOf(ctx, h)
	if err != nil {
		return nil, err
	}
	p, err := archive.OpenPackage(file, size)
	if err != nil {
		return nil, err
	}
	m := p.Manifest
	switch {
	case m.Kind == archive.Event && kind == archive.Backup:
		return nil, fault.New(fault.Refused, "keeping.is-an-event")
	case m.Kind == archive.Backup && kind == archive.Event:
		return nil, fault.New(fault.Refused, "keeping.is-a-backup")
	case m.Schema != schema:
		return nil, fault.New(fault.Refused, "keeping.schema", "has", m.Schema, "knows", schema)
	case m.Kind != kind || !slices.Equal(p.Tables(), partOf(kind).Tables()):
		return nil, fault.New(fault.Invalid, "keeping.tables", "has", strings.Join(p.Tables(), ", "))
	}
	return p, nil
}

// partOf stands for a part of the kind, to ask which tables it has.
func partOf(kind string) store.Part {
	if kind == archive.Backup {
		return store.Part{}
	}
	return store.Part{Event: foray.ID{1}}
}

// fileHash is the SHA-256 of a whole package, by which the audit knows it.
func fileHash(file io.ReaderAt, size int64) (string, error) {
	sum := sha256.New()
	if _, err := io.Copy(sum, io.NewSectionReader(file, 0, size)); err != nil {
		return "", fmt.Errorf("hash the package: %w", err)
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}
