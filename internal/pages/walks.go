package pages

import (
	"strconv"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/outside"
	"forayhall/internal/message"
	"forayhall/web/view"
)

// mostWishes is how many choices the form offers.
const mostWishes = 3

// walksPage is the programme, the same for everybody.
func walksPage(r *request) (templ.Component, error) {
	seen, p, err := r.walkPage()
	if err != nil {
		return nil, err
	}
	p.SignIn = signInFor(r.event().OwnWalks())
	for _, w := range seen.Walks {
		p.Walks = append(p.Walks, r.walkLine(w))
	}
	return view.WalksPage(p), nil
}

// ownWalksPage is the programme with one's own wishes, and for those who put teams together those of everybody.
func ownWalksPage(r *request) (templ.Component, error) { return r.walks(nil, "") }

func (r *request) walkPage() (outside.Walks, view.WalkPage, error) {
	seen, err := outside.SeeWalks(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return seen, view.WalkPage{}, err
	}
	l, err := r.layout(view.T("walks.title"), false)
	return seen, view.WalkPage{Layout: l, Put: seen.Held.Can(access.SetUp)}, err
}

func (r *request) walks(typed []string, command string) (templ.Component, error) {
	seen, p, err := r.walkPage()
	if err != nil {
		return nil, err
	}
	if !seen.Held.Can(access.NameOwn) {
		return nil, r.refuse(access.NameOwn)
	}
	for _, w := range seen.Walks {
		p.Walks = append(p.Walks, r.walkLine(w))
	}
	for _, on := range seen.On {
		p.On = append(p.On, view.WalkOn{Text: view.T("walks.on", "team", on.Team, "leader", on.Leader), Due: r.moment(on.Due)})
	}
	if p.Wish, err = r.wishForm(seen, typed, command); err != nil {
		return nil, err
	}
	p.Wishers, err = r.wishers(seen)
	return view.WalksPage(p), err
}

func (r *request) walkLine(w outside.Walk) view.WalkRow {
	v := view.WalkRow{Number: w.Number, Title: w.Title, StartsAt: r.local(w.StartsAt), DueAt: r.local(w.DueAt), Leader: w.Leader, Remarks: w.Remarks,
		CalledOff: w.CalledOff, Wish: w.Wish}
	switch {
	case w.KeptBack:
		v.Place = view.T("walks.kept-back")
	case w.Place != "":
		v.Place = message.T("data.as-is", "text", w.Place)
	}
	switch {
	case w.Capacity > 0 && w.Left() == 0:
		v.Left = view.T("walks.full")
	case w.Capacity > 0:
		v.Left = view.T("walks.left", "n", w.Left(), "of", w.Capacity)
	}
	return v
}

// wishForm offers the walks that have not left; nil where there is none.
func (r *request) wishForm(seen outside.Walks, typed []string, command string) (*view.WalkWishForm, error) {
	f, err := r.newForm(r.event().Walks(), 0)
	if err != nil {
		return nil, err
	}
	back, err := r.newForm(r.event().Walks(), 0)
	if command != "" {
		f.Command = command
	}
	p := &view.WalkWishForm{Form: f, Back: back, With: seen.With}
	if typed != nil {
		p.With = r.value("with")
	}
	open := false
	for rank := 1; rank <= mostWishes; rank++ {
		var options []view.Option
		for _, w := range seen.Walks {
			chosen := w.Wish == rank
			if typed != nil {
				chosen = typed[rank-1] == w.ID.String()
			}
			p.Any = p.Any || w.Wish == rank
			if w.Open || chosen {
				open = true
				options = append(options, view.Option{Value: w.ID.String(), Text: view.T("walks.option", "number", w.Number, "title", w.Title,
					"time", r.local(w.StartsAt).Format("15:04")), Chosen: chosen})
			}
		}
		p.Choices = append(p.Choices, options)
	}
	if !open {
		return nil, err
	}
	return p, err
}

func (r *request) wishers(seen outside.Walks) (all []view.WalkWisher, err error) {
	for _, w := range seen.Wishers {
		f, err := r.newForm(r.event().Walks()+"/put", 0)
		if err != nil {
			return nil, err
		}
		v := view.WalkWisher{Form: f, Person: w.Person.String(), Name: w.Name, With: w.With, Wishes: view.T("walks.wished", "walks", numbersSaid(w.Wishes))}
		for _, on := range w.On {
			v.On = append(v.On, view.T("walks.is-on", "team", on.Team))
		}
		first := true
		for _, rank := range append(w.Wishes, 0) { // the teams of the first choice first, those of no wish last
			for _, t := range seen.Teams {
				if t.Walk == rank || rank == 0 && !wished(w.Wishes, t.Walk) {
					v.Teams = append(v.Teams, view.Option{Value: strconv.Itoa(t.Number), Chosen: first,
						Text: view.T("walks.team-option", "number", t.Number, "name", t.Name, "walk", t.Walk, "n", t.People)})
					first = false
				}
			}
		}
		all = append(all, v)
	}
	return all, nil
}

func wished(walks []int, walk int) bool {
	for _, w := range walks {
		if w == walk && walk != 0 {
			return true
		}
	}
	return false
}

func numbersSaid(numbers []int) string {
	text := ""
	for i, n := range numbers {
		if i > 0 {
			text += ", "
		}
		text += strconv.Itoa(n)
	}
	return text
}

func wishWalks(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	cmd.BaseVersion = nil
	in, typed := outside.Wishes{With: r.value("with")}, make([]string, mostWishes)
	for i := range typed {
		typed[i] = r.value("wish_" + strconv.Itoa(i+1))
		if typed[i] == "" {
			continue
		}
		id, err := foray.ParseID(typed[i])
		if err != nil {
			return "", nil, fault.Missing()
		}
		in.Walks = append(in.Walks, id)
	}
	if _, err = outside.Wish(r.ctx, r.hall(), r.actor, r.scope(), cmd, in); err == nil {
		return r.event().OwnWalks(), nil, nil
	}
	if !mendable(err) || fault.Is(err, fault.NotAllowed) {
		return "", nil, err
	}
	f := r.wrong("", err)
	if text, ok := f.Fields["walks"]; ok {
		r.errors.Fields = map[string]message.Text{"walks-wished": text}
	}
	page, pageErr := r.walks(typed, r.keptCommand(err))
	return again(page, err, pageErr)
}

// putOnTeam puts somebody who wished for a walk onto a team's sheet.
func putOnTeam(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	cmd.BaseVersion = nil
	if !r.held.Can(access.SetUp) {
		return "", nil, r.refuse(access.SetUp)
	}
	person, err := foray.ParseID(r.value("person"))
	if err != nil {
		return "", nil, fault.Missing()
	}
	if _, err = outside.AddMember(r.ctx, r.hall(), r.actor, r.scope(), cmd, outside.Join{Team: r.value("team"), Person: person}); err == nil {
		return r.event().OwnWalks(), nil, nil
	}
	if !mendable(err) || fault.Is(err, fault.NotAllowed) {
		return "", nil, err
	}
	r.teamWrong("", err)
	page, pageErr := r.walks(nil, "")
	return again(page, err, pageErr)
}
