package pages

import (
	"bytes"
	"compress/gzip"
	"encoding/base64"
	"io"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/earlier"
	"forayhall/internal/hall/setup"
	"forayhall/internal/message"
	"forayhall/web/view"
)

// mostListBytes is the largest file that a form takes: it is carried through the page on which it is looked at.
const mostListBytes = 8 << 20

// mostTold is how many names or rows of a kind a page tells; there are few of them in a list that is taken in.
const mostTold = 500

func (r *request) keepsLists() bool {
	return r.held.Can(access.SetUp) || r.held.Can(access.PublishList)
}

// setupEarlier draws the part; where a list is looked at, what it was read as comes with it.
func setupEarlier(r *request, room setup.Room, typed typedAct) (templ.Component, error) {
	return r.earlierPart(room, typed, nil, sent{})
}

func (r *request) earlierPart(room setup.Room, typed typedAct, looked *view.EarlierLook, list sent) (templ.Component, error) {
	part, err := r.part(room, setup.PartEarlier)
	if err != nil {
		return nil, err
	}
	lists, err := earlier.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	p := view.SetupEarlier{Part: part, Looked: looked}
	if p.Open, err = r.earlierLines(); err != nil {
		return nil, err
	}
	for _, l := range lists.Lists {
		row := r.earlierRow(l, lists.People)
		if r.keepsLists() && l.InForce() {
			if row.Withdraw, err = r.withdrawForm(l.ID.String(), typed); err != nil {
				return nil, err
			}
		}
		p.Lists = append(p.Lists, row)
	}
	if r.keepsLists() {
		p.Firsts = r.event().AllFirsts()
		p.Edit, err = r.earlierForm(lists.Sites, typed)
		if err == nil && list.name != "" { // what was pasted stands in its field
			p.Edit.File = list.name
			p.Edit.Carried, err = carried(list)
		}
	}
	return view.SetupEarlierPage(p), err
}

func (r *request) earlierRow(l earlier.Listed, people map[foray.ID]hall.Person) view.EarlierRow {
	place := l.Site + l.Area
	id := l.ID.String()
	row := view.EarlierRow{ID: id, Title: l.Title, Of: view.T("earlier.of."+l.Scope, "place", place), Source: l.Source, Path: r.event().EarlierList(id) + "#lines",
		Here: r.echo.QueryParam("list") == id, Lines: []message.Text{view.T("earlier.fact.lines", "n", l.Lines)}}
	if l.InForce() {
		row.Lines = append(row.Lines, view.T("earlier.fact.species", "n", l.Species))
	}
	if l.PeriodFrom != "" {
		row.Lines = append(row.Lines, view.T("earlier.fact.period", "from", l.PeriodFrom, "to", l.PeriodTo))
	}
	row.Lines = append(row.Lines, view.T("earlier.fact.added", "at", r.when(l.AddedAt.Time), "who", people[l.AddedBy].Name))
	row.Unknown = r.earlierNames(l.Unknown, nil)
	if !l.InForce() {
		row.Gone, row.Why = view.T("earlier.gone", "at", r.when(l.WithdrawnAt.Time), "who", people[l.WithdrawnBy].Name), l.WithdrawnWhy
	}
	return row
}

func (r *request) withdrawForm(list string, typed typedAct) (*view.EarlierWithdraw, error) {
	key := view.FormEarlierWithdrawn + "-" + list
	f, err := r.setupForm(view.FormEarlierWithdrawn, 0, typedAct{})
	if typed.form == key && typed.command != "" {
		f.Command = typed.command
	}
	return &view.EarlierWithdraw{Form: f, List: list, Reason: typed.of(key, "reason"), Open: typed.form == key}, err
}

func (r *request) earlierForm(sites []string, typed typedAct) (*view.EarlierForm, error) {
	f, err := r.setupForm(view.FormEarlier, 0, typed)
	of := func(name string) string { return typed.of(view.FormEarlier, name) }
	return &view.EarlierForm{Form: f, Title: of("title"), Site: of("site"), Area: of("area"), Source: of("source"), Period: of("period"), Pasted: of("lines"), Sites: sites,
		Scopes:     view.Options("earlier.scope", earlier.Scopes, typed.or(view.FormEarlier, "scope", hall.OfSociety)),
		MonthFirst: typed.ticked(view.FormEarlier, "month_first", false)}, err
}

// earlierNames tells names as they were written and what they were read as. ticked are those that somebody says are what
// they look like; nil asks nothing.
func (r *request) earlierNames(names []earlier.ReadName, ticked map[string]bool) (all view.EarlierNames) {
	for i, n := range names {
		if i == mostTold {
			all.More = len(names) - i
			break
		}
		v := view.EarlierName{Written: n.Written, Line: n.First, Lines: n.Lines}
		if n.Read != "" {
			read := r.sciWritten(n.Read)
			v.Read = &read
		}
		if n.Now != "" {
			now := r.sciWritten(n.Now)
			v.Now = &now
		}
		for _, m := range n.May {
			v.May = append(v.May, r.sciWritten(m))
		}
		if ticked != nil && n.Read != "" {
			v.ID, v.Ticked = "take-"+strconv.Itoa(i+1), ticked[n.Written]
		}
		all.Told = append(all.Told, v)
	}
	return all
}

// earlierLines is the list that the address asks for.
func (r *request) earlierLines() (*view.EarlierLines, error) {
	asked := r.echo.QueryParam("list")
	if asked == "" {
		return nil, nil
	}
	id, err := foray.ParseID(asked)
	if err != nil {
		return nil, fault.Missing()
	}
	after, err := strconv.Atoi(r.echo.QueryParam("after"))
	if err != nil || after < 0 {
		after = 0
	}
	page, err := earlier.Lines(r.ctx, r.hall(), r.actor, r.scope(), id, after)
	if err != nil {
		return nil, err
	}
	l := &view.EarlierLines{Title: page.List.Title}
	if after > 0 {
		l.Begin = r.event().EarlierList(asked) + "#lines"
	}
	if page.Next > 0 {
		l.Next = r.event().EarlierList(asked) + "&after=" + strconv.Itoa(page.Next) + "#lines"
	}
	for _, line := range page.Lines {
		v := view.EarlierLine{Line: line.Line, Written: line.Verbatim, Place: line.Place, Day: line.DayText, Count: line.NText, AsItCame: line.AsItCame}
		if line.Now != nil {
			now := sciOfTaxon(line.Now)
			v.Now, v.NowPath = &now, r.event().Taxon(line.Now.Name)
		}
		l.Lines = append(l.Lines, v)
	}
	return l, nil
}

// sentList is the table that a form brought: a file, lines that were copied, or what was sent before and carried through the
// page.
func (r *request) sentList() (data []byte, name string, err error) {
	head, err := r.echo.FormFile("file")
	switch {
	case err == nil && head.Size > mostListBytes:
		return nil, "", fault.Wrong("file", "earlier.file-large", "most", mostListBytes>>20)
	case err == nil && head.Size > 0:
		file, err := head.Open()
		if err != nil {
			return nil, "", err
		}
		defer file.Close()
		data, err = io.ReadAll(io.LimitReader(file, mostListBytes))
		return data, head.Filename, err
	case r.value("lines") != "":
		return []byte(r.value("lines")), "", nil
	case r.value("carried") != "":
		data, err = unpack(r.value("carried"))
		return data, r.value("named"), err
	}
	return nil, "", fault.Wrong("file", "earlier.nothing-sent")
}

// pack is a file as a form carries it.
func pack(data []byte) (string, error) {
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	if _, err := z.Write(data); err != nil {
		return "", err
	}
	if err := z.Close(); err != nil {
		return "", err
	}
	return base64.StdEncoding.EncodeToString(out.Bytes()), nil
}

// carried is the fields in which a list goes through a page.
func carried(list sent) ([]view.EarlierCarried, error) {
	packed, err := pack(list.data)
	return []view.EarlierCarried{{Name: "named", Value: list.name}, {Name: "carried", Value: packed}}, err
}

// unpack takes no more than a form takes at first.
func unpack(carried string) ([]byte, error) {
	z, err := gzip.NewReader(base64.NewDecoder(base64.StdEncoding, strings.NewReader(carried)))
	if err != nil {
		return nil, fault.Wrong("file", "earlier.nothing-sent")
	}
	data, err := io.ReadAll(io.LimitReader(z, mostListBytes+1))
	if err != nil || len(data) > mostListBytes {
		return nil, fault.Wrong("file", "earlier.nothing-sent")
	}
	return data, nil
}

// takeEarlier looks at a list, or takes it in once it was looked at. A page that tells what a list was read as is no
// page of an error: nothing is wrong, and nothing is written.
func takeEarlier(r *request) (string, templ.Component, error) {
	if !r.keepsLists() {
		return "", nil, r.refuse(access.SetUp)
	}
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	data, name, err := r.sentList()
	if err != nil {
		return r.earlierAgain(err, nil, sent{})
	}
	t, err := archive.ReadListTable(r.ctx, bytes.NewReader(data), name)
	if err != nil {
		return r.earlierAgain(inFile(err), nil, sent{})
	}
	about := earlier.About{Title: r.value("title"), Scope: r.value("scope"), Site: r.value("site"), Area: r.value("area"), Source: r.value("source"),
		Period: r.value("period"), File: name}
	if r.value("do") == "look" {
		out, err := earlier.DryRun(r.ctx, r.hall(), r.actor, r.scope(), about, t, earlier.Options{MonthFirst: r.ticked("month_first")})
		if err != nil {
			return r.earlierAgain(err, nil, sent{data, name})
		}
		look, err := r.earlierLook(about, data, out)
		if err != nil {
			return "", nil, err
		}
		return r.earlierAgain(nil, look, sent{data, name})
	}
	opts := earlier.Options{MonthFirst: r.ticked("month_first"), Take: r.echo.Request().Form["take"], AsWritten: true, LeaveOut: r.ticked("leave_out")}
	out, err := earlier.Import(r.ctx, r.hall(), r.actor, r.scope(), cmd, about, t, opts)
	if err == nil {
		return r.event().SetupPart(string(setup.PartEarlier)) + "?done=yes", nil, nil
	}
	if !mendable(err) || out.Rows == 0 {
		return r.earlierAgain(err, nil, sent{data, name})
	}
	look, lookErr := r.earlierLook(about, data, out)
	if lookErr != nil {
		return "", nil, lookErr
	}
	return r.earlierAgain(err, look, sent{data, name})
}

// inFile puts what is wrong with a file at the field where it was chosen.
func inFile(err error) error {
	f := fault.From(err)
	if f.Kind == fault.Invalid && len(f.Fields) == 0 {
		return &fault.Error{Kind: fault.Invalid, Text: message.T("fault.invalid"), Fields: map[string]message.Text{"file": f.Text}, Cause: f.Cause}
	}
	return err
}

// sent is a file that a form brought.
type sent struct {
	data []byte
	name string
}

// earlierAgain draws the part with what was typed and sent, and with what is wrong or what a list was read as.
func (r *request) earlierAgain(err error, look *view.EarlierLook, list sent) (string, templ.Component, error) {
	if err != nil && !mendable(err) {
		return "", nil, err
	}
	typed := typedAct{form: view.FormEarlier, values: r.value}
	if err != nil {
		r.wrong(view.FormEarlier, err)
		typed.command = r.keptCommand(err)
	}
	room, roomErr := setup.See(r.ctx, r.hall(), r.actor, r.scope())
	if roomErr != nil {
		return "", nil, roomErr
	}
	page, pageErr := r.earlierPart(room, typed, look, list)
	if pageErr != nil {
		return "", nil, pageErr
	}
	return "", page, err
}

func (r *request) earlierLook(about earlier.About, data []byte, out earlier.Outcome) (*view.EarlierLook, error) {
	list, err := carried(sent{data, about.File})
	if err != nil {
		return nil, err
	}
	f, err := r.setupForm(view.FormEarlier, 0, typedAct{})
	l := &view.EarlierLook{Form: f, Title: about.Title, Notes: out.Notes, None: out.Lines == 0, Facts: []message.Text{
		view.T("earlier.looked.lines", "n", out.Lines, "rows", out.Rows), view.T("earlier.looked.matched", "n", out.Matched), view.T("earlier.looked.synonyms", "n", out.Synonyms)}}
	for _, c := range [][2]string{{"title", about.Title}, {"scope", about.Scope}, {"site", about.Site}, {"area", about.Area}, {"source", about.Source}, {"period", about.Period},
		{"month_first", r.value("month_first")}} {
		if c[1] != "" {
			l.Carried = append(l.Carried, view.EarlierCarried{Name: c[0], Value: c[1]})
		}
	}
	l.Carried = append(l.Carried, list...)
	ticked := map[string]bool{}
	for _, written := range r.echo.Request().Form["take"] {
		ticked[written] = true
	}
	l.Asked, l.Former, l.Spelt, l.Unknown = r.earlierNames(out.Asked, ticked), r.earlierNames(out.Former, nil), r.earlierNames(out.Spelt, nil), r.earlierNames(out.Unknown, nil)
	for i, row := range out.Refused {
		if i == mostTold {
			l.Notes = append(l.Notes, view.T("earlier.refused.more", "n", len(out.Refused)-mostTold))
			break
		}
		l.Refused = append(l.Refused, view.EarlierRefused{Line: row.Line, Column: row.Field, Value: row.Value, Reason: row.Reason})
	}
	return l, err
}

func withdrawEarlier(r *request) (string, templ.Component, error) {
	list := r.value("list")
	return r.doSetup(setup.PartEarlier, setupEarlier, view.FormEarlierWithdrawn+"-"+list, func(cmd hall.Command) error {
		id, err := foray.ParseID(list)
		if err != nil {
			return fault.Missing()
		}
		_, err = earlier.Withdraw(r.ctx, r.hall(), r.actor, r.scope(), cmd, earlier.Withdrawal{List: id, Reason: r.value("reason")})
		return err
	})
}
