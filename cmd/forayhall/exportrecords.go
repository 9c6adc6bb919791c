package main

import (
	"context"
	"fmt"
	"io"

	"forayhall/internal/archive"
	"forayhall/internal/hall/records"
	"forayhall/internal/message"
)

func exportRecordsCSV(ctx context.Context, x exportCall, w io.Writer) error {
	out, err := records.Export(ctx, x.Hall, x.actor, x.at.Scope, x.eventPath(""))
	if err != nil {
		return err
	}
	if err := archive.WriteCSV(w, out.Header, out.Rows, archive.Raw); err != nil {
		return fmt.Errorf("write the records: %w", err)
	}
	x.env.note(message.T("cli.export-records", "n", len(out.Rows), "unnamed", out.Unnamed))
	return nil
}

func exportArchive(ctx context.Context, x exportCall, w io.Writer) error {
	star, done, err := records.Archive(ctx, x.Hall, x.actor, x.at.Scope, records.ArchiveOptions{Licence: x.licence, Base: x.eventPath("")})
	if err != nil {
		return err
	}
	if err := archive.WriteStar(w, star); err != nil {
		return fmt.Errorf("write the archive: %w", err)
	}
	x.env.note(message.T("cli.export-archive", "n", done.Records, "seen", done.Fields, "names", done.Identifications, "facts", done.Measurements,
		"pictures", done.Pictures, "licence", star.About.Licence.Key, "unnamed", done.Unnamed))
	if done.Left > 0 {
		x.env.note(message.T("cli.export-pictures-left", "n", done.Left))
	}
	if done.Version == 0 {
		x.env.note(message.T("cli.export-draft", "event", x.at.Event.Code))
	}
	return nil
}

func exportGeoJSON(ctx context.Context, x exportCall, w io.Writer) error {
	n, nowhere, err := records.WriteGeoJSON(ctx, x.Hall, x.actor, x.at.Scope, x.eventPath(""), w)
	if err != nil {
		return fmt.Errorf("write the map: %w", err)
	}
	x.env.note(message.T("cli.export-geojson", "n", n, "nowhere", nowhere))
	return nil
}
