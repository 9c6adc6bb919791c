package api

import "forayhall/internal/hall/people"

func seePeople(r *request) (people.Room, error) {
	return people.See(r.ctx, r.hall(), r.actor, r.at.Scope)
}
