package api

import "forayhall/internal/hall/worth"

func seeWorth(r *request) (worth.Told, error) {
	d, err := worth.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return worth.Told{}, err
	}
	return d.Told(), nil
}

func seeRain(r *request) (worth.RainRoom, error) {
	return worth.SeeRain(r.ctx, r.hall(), r.actor, r.scope())
}
