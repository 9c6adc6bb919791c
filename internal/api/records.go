package api

import (
	"bytes"
	"fmt"
	"net/http"

	"forayhall/internal/archive"
	"forayhall/internal/hall/records"
	"forayhall/internal/hall/setup"
)

func seePublisher(r *request) (setup.Publisher, error) {
	return setup.SeePublisher(r.ctx, r.hall(), r.actor, r.scope())
}

// serveRecords answers the records as features, which is JSON as well.
func serveRecords(r *request) error {
	var b bytes.Buffer
	if _, _, err := records.WriteGeoJSON(r.ctx, r.hall(), r.actor, r.scope(), r.pages(), &b); err != nil {
		return err
	}
	r.header("Cache-Control", "public, no-cache")
	return r.echo.Blob(http.StatusOK, "application/geo+json", b.Bytes())
}

func serveArchive(r *request) error {
	star, _, err := records.Archive(r.ctx, r.hall(), r.actor, r.scope(), records.ArchiveOptions{Base: r.pages()})
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := archive.WriteStar(&b, star); err != nil {
		return err
	}
	r.header("Cache-Control", "public, no-cache")
	r.header("Content-Disposition", fmt.Sprintf(`attachment; filename="%s-records.zip"`, r.at.Event.Code))
	return r.echo.Blob(http.StatusOK, "application/zip", b.Bytes())
}

// pages is where the event's pages are, by which photographs are found.
func (r *request) pages() string {
	path := "/" + r.at.Society.Code + "/" + r.at.Event.Code
	switch {
	case r.api.Public != "":
		return r.api.Public + path
	case r.api.Secure:
		return "https://" + r.echo.Request().Host + path
	}
	return r.echo.Scheme() + "://" + r.echo.Request().Host + path
}
