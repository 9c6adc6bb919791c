package demo

import (
	"context"

	"forayhall/internal/access"
	"forayhall/internal/hall/setup"
)

// publishes is what the scenario's society says of itself as a publisher of records; the address is kept for examples
// (RFC 2606).
var publishes = setup.Publisher{Licence: "CC-BY-4.0", Contact: "Recorder of the Hollinbeck Fungus Society", Mail: "records@hollinbeck.example",
	Web: "https://hollinbeck.example/", About: "The Hollinbeck Fungus Society is invented, and so are its people and places."}

// publisher says on which terms records go out, once for the society.
func (p *player) publisher(ctx context.Context, scope access.Scope) error {
	if p.licensed {
		return nil
	}
	p.licensed = true
	cmd, err := p.command()
	if err == nil {
		_, err = setup.SetPublisher(ctx, p.hall, p.actor(organiser), scope, cmd, publishes)
	}
	return err
}
