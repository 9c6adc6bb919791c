package api

import (
	"context"
	"reflect"

	"github.com/go-json-experiment/json/jsontext"

	"forayhall/internal/access"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
)

// commandType is one kind of command. Types are versioned: a device with an old application still drains its queue,
// so that a type stays here for as long as a device may send it.
type commandType struct {
	name    string
	about   string
	society bool // concerns the society: needs no event
	in, out reflect.Type
	run     func(ctx context.Context, h *hall.Hall, by access.Actor, at access.Scope, cmd hall.Command, body jsontext.Value) (any, error)
}

// commandTypes is every command that the API takes.
var commandTypes = []commandType{
	command("collection.log.v1", "Give a find its number", desk.LogCollection),
	command("collection.correct.v1", "Put field data right; the audit keeps what was there", desk.CorrectField),
	command("character.note.v1", "Note fleeting characters", desk.NoteCharacters),
	command("slip.field-name.v1", "Suggest one to five names, best first; needs no base_version", bench.GiveFieldName),
	command("slip.sign-off.v1", "Stand behind a name; needs the base_version it was decided on", bench.SignOff),
	command("slip.not-nameable.v1", "Find that it cannot be named; needs base_version", bench.FindNotNameable),
	command("slip.not-fungus.v1", "Find that it is no fungus; needs base_version", bench.FindNotFungus),
	command("slip.strike.v1", "Take a slip back; it stays to be read; needs base_version", bench.StrikeSlip),
	command("plate.place.v1", "Say where a plate is now", tables.PlacePlate),
	command("list.publish.v1", "Sign and freeze the list that was seen after change_seq", list.Publish),
	command("poison-contact.type.v1", "Type in whom to call", safety.TypeContact),
	command("poison-contact.test.v1", "Say that the newest contact was rung and answered", safety.TestContact),
	command("site.add.v1", "Add a site", setup.AddSite),
	command("team.add.v1", "Add a team", setup.AddTeam),
	command("table.add.v1", "Add a table", setup.AddTable),
	command("right.give.v1", "Give a right for the event", setup.GiveRight),
	command("right.take.v1", "Take a right away", setup.TakeRight),
	forSociety(command("event.add.v1", "Add an event; whoever adds it is its organiser", setup.AddEvent)),
}

var commandByName = func() map[string]commandType {
	by := make(map[string]commandType, len(commandTypes))
	for _, t := range commandTypes {
		by[t.name] = t
	}
	return by
}()

func command[In, Out any](name, about string,
	do func(context.Context, *hall.Hall, access.Actor, access.Scope, hall.Command, In) (Out, error)) commandType {
	return commandType{name: name, about: about, in: reflect.TypeFor[In](), out: reflect.TypeFor[Out](),
		run: func(ctx context.Context, h *hall.Hall, by access.Actor, at access.Scope, cmd hall.Command, body jsontext.Value) (any, error) {
			var in In
			if err := decode(body, &in, "/body"); err != nil {
				return nil, err
			}
			return do(ctx, h, by, at, cmd, in)
		}}
}

func forSociety(t commandType) commandType {
	t.society = true
	return t
}
