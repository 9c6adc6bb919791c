package pages

import (
	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/corrections"
	"forayhall/internal/hall/list"
	"forayhall/web/view"
)

func publishPage(r *request) (templ.Component, error) {
	if !r.held.Can(access.PublishList) {
		return nil, r.refuse(access.PublishList)
	}
	return r.publishPage("", "")
}

// publishPage draws the list as it is now; command is the id that the form had when it comes back to be mended.
func (r *request) publishPage(note, command string) (templ.Component, error) {
	running, err := list.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	all, err := bench.All(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	requests, err := corrections.Waiting(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	a, err := r.around()
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("publish.title"), true)
	if err != nil {
		return nil, err
	}
	f, err := r.newForm(r.event().Publish(), running.Seq)
	if err != nil {
		return nil, err
	}
	if command != "" {
		f.Command = command
	}
	since, err := r.sinceLast()
	if err != nil {
		return nil, err
	}
	seen, err := list.Digest(list.Lines(r.hall(), r.at.Society, running))
	if err != nil {
		return nil, err
	}
	next := 1
	if len(running.Versions) > 0 {
		next = running.Versions[0].Version + 1
	}
	return view.PublishPage(view.Publish{Layout: l, Form: f, Seen: seen, Next: next, List: r.toFieldSlips(r.listOf(running, wholeList)), Changes: since, Missing: publishMissing(all, contactTested(a.room), requests, r.event()),
		Ready: true, Signer: r.person.Name, Note: note}), err
}

func publish(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	var done list.Published
	err = fault.Wrong("sign", "list.tick-to-sign")
	if r.ticked("sign") {
		in := list.Sign{Remarks: r.value("note"), Seq: int64(*cmd.BaseVersion), Lines: r.value("seen")}
		done, err = list.Publish(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
	}
	if err == nil {
		return r.event().Version(done.Version), nil, nil
	}
	if !mendable(err) || !r.held.Can(access.PublishList) {
		return "", nil, err
	}
	r.wrong("", err)
	page, pageErr := r.publishPage(r.value("note"), r.keptCommand(err))
	if pageErr != nil {
		return "", nil, pageErr
	}
	return "", page, err
}

func (r *request) contact(c hall.Contact, people map[foray.ID]hall.Person) view.Contact {
	return view.Contact{Name: c.Name, Phone: c.Phone, Hours: c.Hours, TypedBy: people[c.TypedBy].Name, TypedAt: r.local(c.TypedAt.Time),
		TestedBy: people[c.TestedBy].Name, TestedAt: r.local(c.TestedAt.Time)}
}
