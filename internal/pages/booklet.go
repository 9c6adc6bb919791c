package pages

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/hall/booklet"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/worth"
	"forayhall/internal/message"
	"forayhall/internal/printing"
	"forayhall/web/view"
)

// xlsxType is the media type of a spreadsheet (ECMA-376, registered with IANA 2011).
const xlsxType = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"

// listPaper is one way in which a list goes out.
type listPaper struct {
	ending string
	media  string
	write  func(*request, booklet.In, *bytes.Buffer) error
}

var (
	workbook = listPaper{"xlsx", xlsxType, func(r *request, in booklet.In, b *bytes.Buffer) error {
		return booklet.WriteWorkbook(r.ctx, r.hall(), r.actor, r.scope(), in, b)
	}}
	bound = listPaper{"pdf", "application/pdf", func(r *request, in booklet.In, b *bytes.Buffer) error {
		day, err := worth.See(r.ctx, r.hall(), r.actor, r.scope())
		if err != nil {
			return err
		}
		printed := day.OnPaper(in.Paper.Say)
		in.Worth = &printed
		return booklet.WriteBooklet(r.ctx, r.hall(), r.actor, r.scope(), in, b)
	}}
	newsletter = listPaper{"txt", "text/plain; charset=utf-8", func(r *request, in booklet.In, b *bytes.Buffer) error {
		text, err := booklet.Newsletter(r.ctx, r.hall(), r.actor, r.scope(), in)
		b.WriteString(text)
		return err
	}}
)

// running serves the running list on a paper.
func (p listPaper) running(r *request) error {
	return r.listFile(p, "not-final", r.event().Running(), func() (hall.Publication, error) { return list.Unsigned(r.ctx, r.hall(), r.actor, r.scope()) })
}

// version serves a signed list on a paper. What it says besides the list is of today, so that it is no file for ever.
func (p listPaper) version(r *request) error {
	n, err := strconv.Atoi(r.echo.Param("version"))
	if err != nil || n < 1 {
		return fault.Missing()
	}
	return r.listFile(p, "list-"+strconv.Itoa(n), r.event().Version(n), func() (hall.Publication, error) { return list.Chosen(r.ctx, r.hall(), r.actor, r.scope(), n) })
}

func (r *request) listFile(p listPaper, name, path string, read func() (hall.Publication, error)) error {
	size, err := printing.ReadSize(orA4(r.echo.QueryParam("size")))
	if err != nil {
		return err
	}
	signed, err := read()
	if err != nil {
		return err
	}
	in := booklet.In{List: signed, Link: r.address(path), Paper: printing.Paper{Size: size, Large: r.echo.QueryParam("large") != "", Say: message.From(r.ctx)}}
	tag := r.listTag(in)
	if r.keeps(tag) {
		return r.echo.NoContent(http.StatusNotModified)
	}
	var b bytes.Buffer
	if err := p.write(r, in, &b); err != nil {
		r.unkept()
		return err
	}
	r.header("Content-Disposition", fmt.Sprintf(`inline; filename="%s-%s.%s"`, r.at.Event.Code, name, p.ending))
	return r.echo.Blob(http.StatusOK, p.media, b.Bytes())
}

// listTag says from what a paper of the list is made: the society's events, since first records are of all of them, and
// the address that stands on it.
func (r *request) listTag(in booklet.In) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%s %s %v", in.Link, in.Paper.Size, in.Paper.Large))
	return strings.TrimSuffix(r.eventTag(), `"`) + "-" + hex.EncodeToString(sum[:6]) + `"`
}

// letterPage is where the site is chosen to whose land manager a letter goes.
func letterPage(r *request) (templ.Component, error) {
	sites, err := booklet.LetterSites(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("letter.title"), false)
	p := view.LetterPage{Layout: l, Facts: r.event().SetupPart("publisher")}
	for _, s := range sites {
		site := view.LetterSite{Code: s.Code, Name: s.Name}
		for _, size := range []printing.Size{printing.A4, printing.Letter} {
			site.Papers = append(site.Papers, view.Link{Path: r.event().LetterPDF(s.Code, string(size)), Text: view.T("letter.pdf." + string(size))})
		}
		site.Papers = append(site.Papers, view.Link{Path: r.event().LetterText(s.Code), Text: view.T("letter.text")})
		p.Sites = append(p.Sites, site)
	}
	return view.LetterView(p), err
}

// forSite reads which letter is asked for.
func (r *request) forSite() (booklet.ForSite, error) {
	size, err := printing.ReadSize(orA4(r.echo.QueryParam("size")))
	if err != nil {
		return booklet.ForSite{}, err
	}
	site := r.echo.QueryParam("site")
	there, err := list.AtSite(r.ctx, r.hall(), r.actor, r.scope(), site)
	return booklet.ForSite{Site: site, In: booklet.In{List: there, Link: r.address(r.event().Running()), Paper: printing.Paper{Size: size, Say: message.From(r.ctx)}}}, err
}

func letterPDF(r *request) error {
	in, err := r.forSite()
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := booklet.WriteLetter(r.ctx, r.hall(), r.actor, r.scope(), in, &b); err != nil {
		return err
	}
	return r.pdf(b.Bytes(), r.at.Event.Code+"-letter.pdf")
}

func letterText(r *request) error {
	in, err := r.forSite()
	if err != nil {
		return err
	}
	text, err := booklet.LetterText(r.ctx, r.hall(), r.actor, r.scope(), in)
	if err != nil {
		return err
	}
	return r.echo.Blob(http.StatusOK, "text/plain; charset=utf-8", []byte(text))
}
