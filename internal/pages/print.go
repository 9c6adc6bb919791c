package pages

import (
	"bytes"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
	"forayhall/internal/message"
	"forayhall/internal/printing"
	"forayhall/web/view"
)

// warningsPDF is the warning sheet on paper: as it is now, with a code that leads to the live page; or, for a sheet that
// was registered to be hung up, with a code that says for ever whether it still holds.
func warningsPDF(r *request) error {
	size, err := printing.ReadSize(orA4(r.echo.QueryParam("size")))
	if err != nil {
		return err
	}
	in := safety.Print{Paper: printing.Paper{Size: size, Large: r.echo.QueryParam("large") != "", Say: message.From(r.ctx)}, Code: r.address(r.event().Warnings())}
	if hung := r.echo.QueryParam("paper"); hung != "" {
		id, err := r.hungSheet(hung)
		if err != nil {
			return err
		}
		in.Code = r.address(r.event().Paper(id))
	}
	if r.keeps(r.eventTag()) {
		return r.echo.NoContent(http.StatusNotModified)
	}
	var b bytes.Buffer
	if err := safety.PrintSheet(r.ctx, r.hall(), r.actor, r.scope(), in, &b); err != nil {
		return err
	}
	return r.pdf(b.Bytes(), r.at.Event.Code+"-warnings.pdf")
}

func orA4(size string) string {
	if size == "" {
		return string(printing.A4)
	}
	return size
}

// hungSheet is the id of a registered sheet that still says what is so: a print of it made now would be another sheet
// otherwise.
func (r *request) hungSheet(written string) (foray.ID, error) {
	id, err := foray.ParseID(written)
	if err != nil {
		return foray.ID{}, fault.Missing()
	}
	seen, err := tables.SeePaper(r.ctx, r.hall(), r.actor, r.scope(), id)
	if err == nil && !seen.Right {
		err = fault.New(fault.Conflict, "sheet.changed-since")
	}
	return id, err
}

func (r *request) pdf(data []byte, name string) error {
	r.header("Content-Disposition", fmt.Sprintf(`inline; filename="%s"`, name))
	return r.echo.Blob(http.StatusOK, "application/pdf", data)
}

// warningsCSV is the warning sheet as rows.
func warningsCSV(r *request) error {
	if r.keeps(r.eventTag()) {
		return r.echo.NoContent(http.StatusNotModified)
	}
	s, err := safety.WarningSheet(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := safety.WriteCSV(&b, s.Sheet, message.From(r.ctx)); err != nil {
		return err
	}
	r.header("Content-Disposition", fmt.Sprintf(`inline; filename="%s-warnings.csv"`, r.at.Event.Code))
	return r.echo.Blob(http.StatusOK, "text/csv; charset=utf-8", b.Bytes())
}

// cardsPDF is registered cards on the stock that was chosen.
func cardsPDF(r *request) error {
	papers, err := r.paperIDs()
	if err != nil {
		return err
	}
	stock, err := r.stock(r.echo.QueryParam("stock"))
	if err != nil {
		return err
	}
	skip, err := strconv.Atoi(or(r.echo.QueryParam("skip"), "0"))
	if err != nil || skip < 0 || skip > stock.PerPage() {
		return fault.Wrong("skip", "cards.skip")
	}
	cards, err := tables.SeeCards(r.ctx, r.hall(), r.actor, r.scope(), papers)
	if err != nil {
		return err
	}
	in := tables.CardPrint{Stock: stock, Skip: skip, Say: message.From(r.ctx), Code: func(c tables.Card) string { return r.address(r.event().Paper(c.Paper)) }}
	var b bytes.Buffer
	report, err := tables.PrintCards(r.ctx, r.hall(), r.actor, r.scope(), cards, in, &b)
	if err != nil {
		return err
	}
	if len(report.Cards) > 0 && r.echo.QueryParam("short") == "" {
		return fault.New(fault.Refused, "cards.too-small", "numbers", numbersOf(report), "stock", stock.Name)
	}
	return r.pdf(b.Bytes(), r.at.Event.Code+"-cards.pdf")
}

func numbersOf(report printing.Report) string {
	numbers := make([]string, len(report.Cards))
	for i, c := range report.Cards {
		numbers[i] = c.Number
	}
	return strings.Join(numbers, ", ")
}

func or(value, fallback string) string {
	if value == "" {
		return fallback
	}
	return value
}

// paperIDs reads the papers that an address asks for.
func (r *request) paperIDs() ([]foray.ID, error) {
	var papers []foray.ID
	for _, p := range r.echo.QueryParams()["p"] {
		id, err := foray.ParseID(p)
		if err != nil || len(papers) == mostPrinted {
			return nil, fault.Missing()
		}
		papers = append(papers, id)
	}
	return papers, nil
}

func (r *request) stock(name string) (printing.Stock, error) {
	stocks, err := setup.Stocks(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return printing.Stock{}, err
	}
	for _, s := range stocks {
		if s.Name == name {
			return s.Stock, nil
		}
	}
	return printing.Stock{}, fault.Wrong("stock", "cards.stock-unknown")
}

// paperPage is where the code on a card or a sheet leads: whether it still says what is so.
func seenPaper(r *request) (templ.Component, error) {
	id, err := foray.ParseID(r.echo.Param("paper"))
	if err != nil {
		return nil, fault.Missing()
	}
	seen, err := tables.SeePaper(r.ctx, r.hall(), r.actor, r.scope(), id)
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("paper.title"), true)
	p := view.Paper{Layout: l, Sheet: seen.Number == "", Right: seen.Right, Gone: !seen.Paper.OutAt.IsZero(), MadeAt: r.local(seen.Paper.MadeAt.Time),
		Warnings: r.event().Warnings(), Table: seen.Where}
	if !p.Sheet {
		p.Number, p.Plate = r.numbered(seen.Number), r.event().Find(seen.Number)
		p.Was, p.Is = r.sciWritten(seen.Was), r.sciWritten(seen.Is)
	}
	return view.PaperPage(p), err
}
