package pages

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/http"
	"strings"

	"forayhall/internal/archive"
	"forayhall/internal/hall/records"
)

// recordsCSV, recordsZip and recordsMap are the records as anybody may have them. They are made whole before the first byte
// is sent; an event has at most ten thousand numbers.
func recordsCSV(r *request) error {
	return r.recordsFile("csv", "text/csv; charset=utf-8", func(b *bytes.Buffer) error {
		out, err := records.Export(r.ctx, r.hall(), r.actor, r.scope(), r.eventAddress())
		if err != nil {
			return err
		}
		return archive.WriteCSV(b, out.Header, out.Rows, archive.Raw)
	})
}

func recordsZip(r *request) error {
	return r.recordsFile("zip", "application/zip", func(b *bytes.Buffer) error {
		star, _, err := records.Archive(r.ctx, r.hall(), r.actor, r.scope(), records.ArchiveOptions{Base: r.eventAddress()})
		if err != nil {
			return err
		}
		return archive.WriteStar(b, star)
	})
}

func recordsMap(r *request) error {
	return r.recordsFile("geojson", "application/geo+json", func(b *bytes.Buffer) error {
		_, _, err := records.WriteGeoJSON(r.ctx, r.hall(), r.actor, r.scope(), r.eventAddress(), b)
		return err
	})
}

func (r *request) eventAddress() string { return r.address(r.event().Path) }

func (r *request) recordsFile(kind, media string, write func(*bytes.Buffer) error) error {
	if r.keeps(r.recordsTag()) {
		return r.echo.NoContent(http.StatusNotModified)
	}
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	r.header("Content-Disposition", fmt.Sprintf(`attachment; filename="%s-records.%s"`, r.at.Event.Code, kind))
	return r.echo.Blob(http.StatusOK, media, b.Bytes())
}

// recordsTag also holds the address under which photographs are found.
func (r *request) recordsTag() string {
	sum := sha256.Sum256([]byte(r.eventAddress()))
	return strings.TrimSuffix(r.eventTag(), `"`) + "-" + hex.EncodeToString(sum[:6]) + `"`
}
