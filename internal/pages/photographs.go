package pages

import (
	"context"
	"mime/multipart"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/a-h/templ"
	"github.com/labstack/echo/v4"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/photographs"
	"forayhall/internal/media"
	"forayhall/internal/message"
	"forayhall/web"
	"forayhall/web/view"
)

const (
	// uploadMost is the most that a form with a photograph may send: media.MaxBytes, which is 26.2 million, and the form
	// around it.
	uploadMost = "27M"
	// uploadTime is for a large photograph on a slow line: 25 MB at 2 Mbit a second take 100 seconds.
	uploadTime = 2 * time.Minute
	// keptFor is how long a browser shows a picture without asking. It never changes, but it may be hidden.
	keptFor = "public, max-age=86400, immutable"
)

// uploads are the routes that take a photograph, or a whole list.
func uploads(c echo.Context) bool {
	return c.Request().Method == http.MethodPost && (strings.HasSuffix(c.Path(), "/photographs") || strings.HasSuffix(c.Path(), "/setup/earlier"))
}

// upload is form for a photograph: who may send nothing is told before anything is read, few send at once, and nobody
// holds a place by sending slowly.
func (s *Site) upload(h func(*request) (next string, again templ.Component, err error)) echo.HandlerFunc {
	send := s.form(h)
	return func(c echo.Context) error {
		ctx, cancel := context.WithTimeout(c.Request().Context(), uploadTime)
		defer cancel()
		c.SetRequest(c.Request().WithContext(ctx))
		r, err := s.begin(c)
		if err == nil && !r.held.Can(access.NameOwn) {
			err = r.refuse(access.NameOwn)
		}
		done := func() {}
		if err == nil {
			done, err = photographs.Receive(ctx)
		}
		if err != nil {
			c.Request().Body = http.NoBody // the page that says so keeps what was typed, and would read it all
			return r.fail(err)
		}
		defer done()
		// Where the connection has no deadlines, as in a test without a network, there is no slow line either.
		_ = http.NewResponseController(c.Response()).SetReadDeadline(time.Now().Add(uploadTime))
		return send(c)
	}
}

// photograph serves one picture. Whoever asks is looked at only where it is not for everybody.
func (s *Site) photograph(c echo.Context) error {
	r := s.request(c)
	id, err := foray.ParseID(c.Param("id"))
	if err != nil {
		return r.fail(fault.Missing())
	}
	if err := r.find(); err != nil {
		return r.fail(err)
	}
	o, err := photographs.OpenPublic(r.ctx, r.hall(), r.scope(), id, c.Param("size"))
	if fault.Is(err, fault.NotFound) {
		if r, err = s.begin(c); err == nil {
			o, err = photographs.OpenPrivate(r.ctx, r.hall(), r.actor, r.scope(), id, c.Param("size"))
		}
	}
	if err != nil {
		return r.fail(err)
	}
	defer o.Body.Close()
	return r.picture(o)
}

func (r *request) picture(o photographs.Opened) error {
	if !o.Private {
		tag := `"` + o.SHA256 + `"`
		r.header("ETag", tag)
		r.header("Cache-Control", keptFor)
		if r.echo.Request().Header.Get("If-None-Match") == tag {
			return r.echo.NoContent(http.StatusNotModified)
		}
	}
	r.echo.Response().Header().Set(echo.HeaderContentLength, strconv.FormatInt(o.Size, 10))
	return r.echo.Stream(http.StatusOK, "image/jpeg", o.Body)
}

// photo is a picture as a page draws it.
func (r *request) photo(p photographs.Picture) view.Photo {
	id := p.ID.String()
	v := view.Photo{ID: id, Kind: p.Kind, Small: r.event().Photograph(id, photographs.Small), Full: r.event().Photograph(id, photographs.Full),
		About: photoAbout(p), Caption: p.Caption, By: p.By, Taken: r.local(p.TakenAt), At: r.local(p.RecordedAt)}
	v.Width, v.Height = view.SmallSize(p.Width, p.Height)
	return v
}

func photoAbout(p photographs.Picture) message.Text {
	switch {
	case p.Kind == photographs.OfSlip:
		return view.T("photo.of-slip", "number", p.Number)
	case p.Kind == photographs.OfIncident:
		return view.T("photo.of-incident")
	case p.Kind == photographs.OfField && p.By != "":
		return view.T("photo.of-field-by", "who", p.By)
	case p.Kind == photographs.OfField:
		return view.T("photo.of-field")
	case p.By != "":
		return view.T("photo.of-by", "number", p.Number, "who", p.By)
	}
	return view.T("photo.of", "number", p.Number)
}

func (r *request) photos(pictures []photographs.Picture) []view.Photo {
	var list []view.Photo
	for _, p := range pictures {
		list = append(list, r.photo(p))
	}
	return list
}

// otherPhotos are pictures of other plates, each with its number; visitors are led to the public page of it.
func (r *request) otherPhotos(pictures []photographs.Picture) []view.Photo {
	list := r.photos(pictures)
	for i, p := range pictures {
		if p.Number == "" {
			continue
		}
		path := r.event().Find(p.Number)
		if r.held.Staff() {
			path = r.event().Collection(p.Number)
		}
		list[i].Plate = &view.PhotoPlate{Number: r.numbered(p.Number), Path: path, State: view.Naming(p.State)}
	}
	return list
}

func (r *request) piles(piles []photographs.Pile) []view.PhotoPile {
	var list []view.PhotoPile
	for _, pile := range piles {
		v := view.PhotoPile{Name: sciOf(pile.Name), Path: r.namePath(pile.Current, pile.Name.Key), Photos: r.otherPhotos(pile.Pictures)}
		if pile.Current != nil {
			v.Name = sciOfTaxon(pile.Current)
		}
		list = append(list, v)
	}
	return list
}

// photoForm sends a photograph of something from a page. A form that came back keeps its command id.
func (r *request) photoForm(from, kind, subject string) (*view.PhotoForm, error) {
	f, err := r.newForm(r.event().Photographs(), 0)
	v := &view.PhotoForm{Form: f, From: from, Kind: kind, Subject: subject}
	return v, err
}

// ofFindOrSlip lets whoever works with paper slips choose what it shows.
func (r *request) ofFindOrSlip(f *view.PhotoForm) *view.PhotoForm {
	if f != nil && r.held.Can(access.LogCollection) {
		f.Kind, f.Kinds = "", view.Options("photo.kind", []string{photographs.OfFind, photographs.OfSlip}, photographs.OfFind)
	}
	return f
}

// keepPhoto puts what was typed back into the form that was not taken.
func (r *request) keepPhoto(f *view.PhotoForm) {
	key := f.Key
	if key == "" {
		key = view.FormPhotograph
	}
	if r.errors.Form != key {
		return
	}
	f.Form.Command, f.Caption, f.Open = r.value("command"), r.value("caption"), true
	for i := range f.Kinds {
		f.Kinds[i].Chosen = f.Kinds[i].Value == r.value("kind")
	}
}

// hideForm offers the pictures that this person may hide; nil where there is none.
func (r *request) hideForm(from string, pictures ...[]photographs.Picture) (*view.PhotoHideForm, error) {
	f, err := r.newForm(r.event().HidePhotograph(), 0)
	v := &view.PhotoHideForm{Form: f, From: from}
	for _, list := range pictures {
		for _, p := range list {
			if p.MayHide {
				v.Photos = append(v.Photos, r.photo(p))
			}
		}
	}
	if len(v.Photos) == 0 {
		return nil, err
	}
	if r.errors.Form == view.FormHide {
		v.Form.Command, v.Chosen, v.Reason = r.value("command"), r.value("photo"), r.value("reason")
	}
	return v, err
}

// picturesOf puts onto a collection's page its pictures, those beside them, and the forms for them.
func (r *request) picturesOf(p *view.Collection, s bench.Sight) error {
	b, err := photographs.SeeBeside(r.ctx, r.hall(), r.actor, r.scope(), s.Plate.Number())
	if err != nil {
		return err
	}
	p.Photos, p.Slip, p.Piles = r.photos(b.Find), r.photos(b.Slip), r.piles(b.Piles)
	from := "c/" + s.Plate.Number().String()
	if p.Hide, err = r.hideForm(from, b.Find, b.Slip); err != nil {
		return err
	}
	if !s.Held.Can(access.NameAny) && s.Plate.CollectorID != r.actor.Person {
		return nil
	}
	p.Layout.Assets.Photographs = web.Asset("photographs.js")
	if p.Send, err = r.photoForm(from, photographs.OfFind, s.Plate.Number().String()); err == nil {
		r.keepPhoto(r.ofFindOrSlip(p.Send))
	}
	return err
}

// savedPhoto is the form for what was just logged. Its address lies below the desk's, so that what the desk carries
// comes along when a picture is not taken.
func (r *request) savedPhoto(number string) (*view.PhotoForm, error) {
	f, err := r.photoForm("intake", "", number)
	if err != nil {
		return nil, err
	}
	f.Form.Action = r.event().Intake() + "/photographs"
	r.keepPhoto(r.ofFindOrSlip(f))
	return f, nil
}

// ownPhotos puts onto a member's own page the pictures of what they brought in.
func (r *request) ownPhotos(p *view.Own) error {
	own, err := photographs.SeeOwn(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return err
	}
	var all []photographs.Picture
	for i := range p.Finds {
		f := &p.Finds[i]
		number := f.Number.Short()
		f.Photos, all = r.photos(own[number]), append(all, own[number]...)
		if f.Send, err = r.photoForm("mine", photographs.OfFind, number); err != nil {
			return err
		}
		f.Send.Key = view.FormPhotograph + "-" + number
		r.keepPhoto(f.Send)
	}
	if len(p.Finds) > 0 {
		p.Layout.Assets.Photographs = web.Asset("photographs.js")
	}
	p.Hide, err = r.hideForm("mine", all)
	return err
}

// photographsPage is a page of its own for what has none that a form could stand on.
func photographsPage(r *request) (templ.Component, error) {
	return r.photographsOf(r.echo.QueryParam("kind"), r.echo.QueryParam("subject"))
}

func (r *request) photographsOf(kind, subject string) (templ.Component, error) {
	s, err := photographs.SeeSubject(r.ctx, r.hall(), r.actor, r.scope(), kind, subject)
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("photo.heading"), false)
	if err != nil {
		return nil, err
	}
	l.Assets.Photographs = web.Asset("photographs.js")
	p := view.PhotoRoom{Layout: l, Heading: view.T("photo.kind." + kind), Photos: r.photos(s.Pictures)}
	from := "photographs?" + url.Values{"kind": {kind}, "subject": {subject}}.Encode()
	send, err := r.photoForm(from, kind, subject)
	if err != nil {
		return nil, err
	}
	if p.Send = *send; s.Number != "" {
		p.Heading = view.T("photo.of", "number", s.Number)
	}
	r.keepPhoto(&p.Send)
	p.Hide, err = r.hideForm(from, s.Pictures)
	return view.PhotoRoomPage(p), err
}

// sendPhotograph takes a picture from any page that has the form, and comes back to it.
func sendPhotograph(r *request) (string, templ.Component, error) {
	from, key := r.value("from"), view.FormPhotograph
	if from == "mine" {
		key += "-" + r.value("subject")
	}
	err := r.takePhotograph()
	if err == nil {
		return r.cameFrom(from, r.value("subject")), nil, nil
	}
	if k := fault.From(err).Kind; k != fault.Invalid && k != fault.Refused {
		return "", nil, err
	}
	r.wrong(key, err)
	if _, ofPicture := r.errors.Fields[media.Field]; !ofPicture {
		r.errors.Summary = view.T("photo.again")
	}
	page, pageErr := r.photoPage(from, r.value("subject"))
	if pageErr != nil {
		return "", nil, pageErr
	}
	return "", page, err
}

func (r *request) takePhotograph() error {
	cmd, err := r.command()
	if err != nil {
		return err
	}
	file, err := r.photographSent()
	if err != nil {
		return err
	}
	defer file.Close()
	in := photographs.Upload{Kind: r.value("kind"), Subject: r.value("subject"), Caption: r.value("caption"), Taken: r.value("taken")}
	_, err = photographs.Add(r.ctx, r.hall(), r.actor, r.scope(), cmd, in, file)
	return err
}

// photographSent is the file of the form: the camera's or the one that was chosen, whichever is there.
func (r *request) photographSent() (multipart.File, error) {
	form := r.echo.Request().MultipartForm
	if form == nil {
		return nil, fault.Wrong(media.Field, "pages.photo.none")
	}
	for _, f := range form.File[media.Field] {
		if f.Filename != "" && f.Size > 0 {
			return f.Open()
		}
	}
	return nil, fault.Wrong(media.Field, "pages.photo.none")
}

// cameFrom is the address of the page that a form stood on. What it says of itself is taken for a place of the event,
// and nothing else.
func (r *request) cameFrom(from, subject string) string {
	switch {
	case from == "intake":
		return r.event().Intake() + "?saved=" + url.QueryEscape(subject)
	case from == "mine":
		return r.event().Own() + "#own-" + url.PathEscape(subject)
	case strings.HasPrefix(from, "c/"):
		return r.event().Collection(url.PathEscape(strings.TrimPrefix(from, "c/")))
	}
	_, query, _ := strings.Cut(from, "?")
	return r.event().Photographs() + "?" + query
}

// photoPage is that page with what was typed.
func (r *request) photoPage(from, subject string) (templ.Component, error) {
	switch {
	case from == "intake":
		t, open, last := r.carried()
		p, err := r.intake(t, last)
		if err != nil {
			return nil, err
		}
		p.Open = append(p.Open, open...)
		p.Saved, err = r.saved(subject)
		p.Layout.Assets.Photographs = web.Asset("photographs.js")
		return view.IntakePage(p), err
	case from == "mine":
		return r.own("", typedAct{})
	case strings.HasPrefix(from, "c/"):
		n, err := foray.ParseNumber(strings.TrimPrefix(from, "c/"), r.at.Event.Code)
		if err != nil {
			return nil, fault.Missing()
		}
		s, err := benchSight(r, n)
		if err != nil {
			return nil, err
		}
		return r.collection(s, typedAct{}, nil)
	}
	_, query, _ := strings.Cut(from, "?")
	asked, err := url.ParseQuery(query)
	if err != nil {
		return nil, fault.Missing()
	}
	return r.photographsOf(asked.Get("kind"), asked.Get("subject"))
}

// hidePhotograph takes a picture from view and comes back to the page.
func hidePhotograph(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	err = r.hide(cmd)
	from := r.value("from")
	if err == nil {
		return r.cameFrom(from, ""), nil, nil
	}
	if k := fault.From(err).Kind; k != fault.Invalid && k != fault.Refused {
		return "", nil, err
	}
	r.wrong(view.FormHide, err)
	page, pageErr := r.photoPage(from, "")
	if pageErr != nil {
		return "", nil, pageErr
	}
	return "", page, err
}

func (r *request) hide(cmd hall.Command) error {
	id, err := foray.ParseID(r.value("photo"))
	if err != nil {
		return fault.Wrong("photo", "photograph.which")
	}
	_, err = photographs.Hide(r.ctx, r.hall(), r.actor, r.scope(), cmd, photographs.Hidden{Photograph: id, Reason: r.value("reason")})
	return err
}
