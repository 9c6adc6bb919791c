package api

import (
	"strconv"

	"forayhall/internal/fault"
	"forayhall/internal/hall/list"
)

func seeVersionToday(r *request) (list.Renamings, error) {
	n, err := strconv.Atoi(r.echo.Param("version"))
	if err != nil || n < 1 {
		return list.Renamings{}, fault.Missing()
	}
	return list.SeeToday(r.ctx, r.hall(), r.actor, r.scope(), n)
}
