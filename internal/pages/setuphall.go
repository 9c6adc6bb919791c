package pages

import (
	"slices"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/setup"
	"forayhall/internal/message"
	"forayhall/web/view"
)

func setupTables(r *request, room setup.Room, typed typedAct) (templ.Component, error) {
	part, err := r.part(room, setup.PartTables)
	if err != nil {
		return nil, err
	}
	p := view.SetupTables{Part: part}
	open, next, table := r.changing(view.FormTable, typed), 1, hall.Table{}
	for _, t := range room.Tables {
		if next = t.Number + 1; t.ID == open {
			table = t
		}
		p.Rows = append(p.Rows, r.tableRow(t, room, t.ID == open))
	}
	if r.held.Can(access.SetUp) {
		p.Edit, err = r.tableForm(table, next, room, typed)
	}
	return view.SetupTablesPage(p), err
}

func (r *request) tableRow(t hall.Table, room setup.Room, here bool) view.SetupRow {
	var l lines
	l.add(t.Hazards, "hazards")
	var groups []string
	for _, g := range hall.GroupsOn(t) {
		groups = append(groups, message.From(r.ctx).Text(view.T("group."+g)))
	}
	l.add(len(groups) > 0, "groups", "groups", strings.Join(groups, ", "))
	l.add(true, "table-size", "length", t.LengthMM, "depth", t.DepthMM)
	l.add(true, "plates", "n", room.Plates[t.ID])
	return view.SetupRow{ID: t.ID.String(), Head: view.T("setup.line.table", "number", t.Number, "title", t.Title), Lines: l, Warn: t.Hazards,
		Change: r.change(setup.PartTables, t.ID), Here: here}
}

func (r *request) tableForm(t hall.Table, next int, room setup.Room, typed typedAct) (*view.TableForm, error) {
	f, err := r.setupForm(view.FormTable, 0, typed)
	or := func(name, stored string) string { return typed.or(view.FormTable, name, stored) }
	v := &view.TableForm{Form: f, ID: idText(t.ID), Number: or("number", strconv.Itoa(next)), Name: or("name", t.Title), Length: or("length_mm", numberText(t.LengthMM)),
		Depth: or("depth_mm", numberText(t.DepthMM)), PlanX: or("plan_x_mm", strconv.Itoa(t.PlanXMM)), PlanY: or("plan_y_mm", strconv.Itoa(t.PlanYMM)),
		Hazards: typed.ticked(view.FormTable, "hazards", t.Hazards), Turned: typed.ticked(view.FormTable, "turned", t.Turned)}
	chosen := hall.GroupsOn(t)
	if typed.form == view.FormTable {
		chosen = r.several("groups")
	}
	for _, g := range room.Groups {
		v.Groups = append(v.Groups, view.Option{Value: g, Text: view.T("group." + g), Chosen: slices.Contains(chosen, g)})
	}
	return v, err
}

// several is all values of a field that may be sent more than once.
func (r *request) several(name string) []string {
	values, err := r.echo.FormParams()
	if err != nil {
		return nil
	}
	return values[name]
}

func sendTable(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartTables, setupTables, view.FormTable, func(cmd hall.Command) error {
		w := r.reading()
		id := w.id()
		in := setup.Table{Number: w.number("number"), Title: r.value("name"), Hazards: r.ticked("hazards"), Groups: r.several("groups"), LengthMM: w.number("length_mm"),
			DepthMM: w.number("depth_mm"), PlanXMM: w.number("plan_x_mm"), PlanYMM: w.number("plan_y_mm"), Turned: r.ticked("turned")}
		err := w.err()
		switch {
		case err != nil:
		case id.IsZero():
			_, err = setup.AddTable(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		default:
			_, err = setup.ChangeTable(r.ctx, r.hall(), r.actor, r.scope(), cmd, setup.TableChange{ID: id, Table: in})
		}
		return err
	})
}

func setupNumbers(r *request, room setup.Room, typed typedAct) (templ.Component, error) {
	part, err := r.part(room, setup.PartNumbers)
	if err != nil {
		return nil, err
	}
	p, people := view.SetupNumbers{Part: part}, byName(room)
	for _, b := range room.Blocks {
		var l lines
		l.add(true, "issued", "whom", setup.BlockHolder(b, room.Teams), "at", r.when(b.IssuedAt.Time), "by", people[b.IssuedBy].Name)
		l.add(!b.TeamID.IsZero() && b.IssuedTo != "", "also-to", "name", b.IssuedTo)
		l.add(b.Remarks != "", "remarks", "words", b.Remarks)
		p.Rows = append(p.Rows, view.SetupRow{ID: b.ID.String(), Lines: l,
			Head: view.T("setup.line.block", "from", foray.Number{Base: b.FromNumber}, "to", foray.Number{Base: b.ToNumber})})
	}
	if r.held.Can(access.SetUp) {
		p.Edit, err = r.blockForm(room, typed)
	}
	return view.SetupNumbersPage(p), err
}

func (r *request) blockForm(room setup.Room, typed typedAct) (*view.BlockForm, error) {
	f, err := r.setupForm(view.FormBlock, 0, typed)
	or := func(name, stored string) string { return typed.or(view.FormBlock, name, stored) }
	v := &view.BlockForm{Form: f, From: or("from", strconv.Itoa(room.NextFrom)), To: or("to", strconv.Itoa(room.NextTo)), Person: or("person", ""),
		Remarks: or("remarks", ""), People: personNames(room)}
	chosen := or("team", r.echo.QueryParam("team"))
	for _, t := range room.Teams {
		v.Teams = append(v.Teams, view.Option{Value: t.ID.String(), Text: view.T("setup.line.team", "number", t.Number, "name", t.Name), Chosen: t.ID.String() == chosen})
	}
	return v, err
}

func issueBlock(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartNumbers, setupNumbers, view.FormBlock, func(cmd hall.Command) error {
		w := r.reading()
		in := setup.Block{From: w.number("from"), To: w.number("to"), Team: r.value("team"), Person: r.value("person"), Remarks: r.value("remarks")}
		if err := w.err(); err != nil {
			return err
		}
		_, err := setup.IssueBlock(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		return err
	})
}

func setupRights(r *request, room setup.Room, typed typedAct) (templ.Component, error) {
	part, err := r.part(room, setup.PartRights)
	if err != nil {
		return nil, err
	}
	p := view.SetupRights{Part: part}
	if p.People, err = r.peopleRows(room); err != nil {
		return nil, err
	}
	history, err := setup.RightHistory(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	people := byName(room)
	for _, c := range history {
		key := "setup.right.taken"
		if c.Given {
			key = "setup.right.given"
		}
		p.History = append(p.History, view.RightLine{At: r.when(c.At.Time),
			Text: view.T(key, "by", people[c.By].Name, "name", people[c.To].Name, "role", view.RoleText(string(c.Right)))})
	}
	if r.held.Can(access.SetUp) {
		p.Give, err = r.rightForm(room, typed)
	}
	return view.SetupRightsPage(p), err
}

// peopleRows is who holds what; for who may take a right each has its form.
func (r *request) peopleRows(room setup.Room) (rows []view.PersonRow, err error) {
	held := map[foray.ID][]view.RightHeld{}
	for _, right := range room.Rights {
		one := view.RightHeld{Role: string(right.Held), Person: right.PersonID.String()}
		if r.held.Can(access.SetUp) {
			f, err := r.setupForm(view.FormRightTaken, 0, typedAct{})
			if err != nil {
				return nil, err
			}
			one.Take = &f
		}
		held[right.PersonID] = append(held[right.PersonID], one)
	}
	for _, p := range room.People {
		if len(held[p.ID]) > 0 {
			rows = append(rows, view.PersonRow{Name: p.Name, Account: room.Accounts[p.ID], Rights: held[p.ID]})
		}
	}
	return rows, nil
}

func (r *request) rightForm(room setup.Room, typed typedAct) (*view.RightForm, error) {
	f, err := r.setupForm(view.FormRight, 0, typed)
	v := &view.RightForm{Form: f, Name: typed.of(view.FormRight, "name")}
	for _, p := range room.People {
		if p.Kind == "person" {
			v.People = append(v.People, view.Option{Value: p.ID.String(), Label: p.Name, Chosen: p.ID.String() == typed.of(view.FormRight, "person")})
		}
	}
	for _, right := range access.Given {
		v.Roles = append(v.Roles, view.Option{Value: string(right), Text: view.RoleText(string(right)), Chosen: string(right) == typed.of(view.FormRight, "role")})
	}
	return v, err
}

func (r *request) right() (setup.Right, error) {
	person, err := optionalID(r.value("person"))
	if err != nil {
		return setup.Right{}, fault.Wrong("person", "setup.person-missing")
	}
	return setup.Right{Person: person, Name: r.value("name"), Right: access.Right(r.value("role"))}, nil
}

func giveRight(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartRights, setupRights, view.FormRight, func(cmd hall.Command) error {
		in, err := r.right()
		if err == nil {
			_, err = setup.GiveRight(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		}
		return err
	})
}

func takeRight(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartRights, setupRights, view.FormRightTaken, func(cmd hall.Command) error {
		in, err := r.right()
		if err == nil {
			_, err = setup.TakeRight(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		}
		return err
	})
}

func setupFlags(r *request, room setup.Room, typed typedAct) (templ.Component, error) {
	r.flash = r.takenOver()
	part, err := r.part(room, setup.PartFlags)
	if err != nil {
		return nil, err
	}
	p := view.SetupFlags{Part: part}
	if p.Law, err = r.lawOffer(typed); err != nil {
		return nil, err
	}
	open, flag, may := r.changing(view.FormFlag, typed), hall.TaxonFlag{}, r.held.Can(access.SetUp)
	for _, f := range room.Flags {
		if f.ID == open {
			flag = f
		}
		row := view.SetupRow{ID: f.ID.String(), Head: view.T("setup.line.flag", "name", f.Name, "flag", message.T("flag."+f.Flag+".word")),
			Change: r.change(setup.PartFlags, f.ID), Here: f.ID == open}
		if n, known := r.hall().Knowledge.Names.Lookup(f.NameKey); known {
			row.Common = r.printedMarked(n.Current())
		}
		var l lines
		l.add(true, "source", "words", f.Source)
		l.add(f.Permit != "", "named-by", "permit", f.Permit)
		if row.Lines = l; may {
			row.Act = &view.ActForm{ID: f.ID.String(), Send: "setup.flag.take"}
			if row.Act.Form, err = r.setupForm(view.FormFlagTaken, 0, typedAct{}); err != nil {
				return nil, err
			}
		}
		p.Rows = append(p.Rows, row)
	}
	if may {
		p.Edit, err = r.flagForm(flag, typed)
	}
	return view.SetupFlagsPage(p), err
}

func (r *request) flagForm(f hall.TaxonFlag, typed typedAct) (*view.FlagForm, error) {
	form, err := r.setupForm(view.FormFlag, 0, typed)
	or := func(name, stored string) string { return typed.or(view.FormFlag, name, stored) }
	v := &view.FlagForm{Form: form, ID: idText(f.ID), Name: or("name", f.Name), Source: or("source", f.Source), Permit: or("permit", f.Permit), Names: r.event().Names()}
	for _, kind := range hall.FlagKinds {
		v.Kinds = append(v.Kinds, view.Option{Value: kind, Text: message.T("flag." + kind + ".word"), Chosen: kind == or("flag", f.Flag)})
	}
	return v, err
}

func sendFlag(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartFlags, setupFlags, view.FormFlag, func(cmd hall.Command) error {
		w := r.reading()
		id := w.id()
		in := setup.Flag{Name: r.value("name"), Flag: r.value("flag"), Source: r.value("source"), Permit: r.value("permit")}
		err := w.err()
		switch {
		case err != nil:
		case id.IsZero():
			_, err = setup.AddFlag(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		default:
			_, err = setup.ChangeFlag(r.ctx, r.hall(), r.actor, r.scope(), cmd, setup.FlagChange{ID: id, Flag: in})
		}
		return err
	})
}

func takeFlag(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartFlags, setupFlags, view.FormFlagTaken, func(cmd hall.Command) error {
		w := r.reading()
		in := setup.FlagTaken{ID: w.id()}
		if err := w.err(); err != nil {
			return err
		}
		_, err := setup.TakeFlag(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		return err
	})
}
