package api

import (
	"strconv"
	"time"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/fieldwork"
	"forayhall/internal/hall/list"
)

// SeenList is what was seen outside and left there, newest first.
type SeenList struct {
	ChangeSeq int64        `json:"change_seq"`
	Show      string       `json:"show"` // own, all, or a team's number
	Records   []SeenRecord `json:"records"`
}

// SeenRecord is one field record.
type SeenRecord struct {
	ID        foray.ID  `json:"id"`
	Name      Name      `json:"name"`
	Count     int       `json:"count"`
	Team      int       `json:"team,omitempty"`
	Site      string    `json:"site,omitempty"`
	Observer  string    `json:"observer"`
	Substrate string    `json:"substrate,omitempty"`
	Host      string    `json:"host,omitempty"`
	Remarks   string    `json:"remarks,omitempty"`
	Outside   bool      `json:"outside"`
	Confirmed bool      `json:"confirmed"`
	Behind    []string  `json:"behind"` // who stands behind it
	Struck    bool      `json:"struck"`
	Why       string    `json:"why_struck,omitempty"`
	Happened  time.Time `json:"happened_at"`
	Recorded  time.Time `json:"recorded_at"`
	MayTally  bool      `json:"may_tally"`
	MayStand  bool      `json:"may_stand"`
	MayStrike bool      `json:"may_strike"`
}

// VersionChanges is what is different in a signed version.
type VersionChanges struct {
	ChangeSeq int64 `json:"change_seq"`
	First     bool  `json:"first"` // there is no version before it
	list.Differences
}

func listSeen(r *request) (SeenList, error) {
	p, err := fieldwork.See(r.ctx, r.hall(), r.actor, r.scope(), r.echo.QueryParam("show"))
	out := SeenList{ChangeSeq: p.Seq, Show: p.Show, Records: []SeenRecord{}}
	for _, row := range p.Rows {
		s := SeenRecord{ID: row.ID, Name: r.name(row.SlipName()), Count: row.Count, Team: row.Team, Site: row.Site, Observer: row.Observer, Substrate: row.Substrate,
			Host: row.Host, Remarks: row.Remarks, Outside: row.Outside, Confirmed: row.Counts, Behind: listed(row.Behind), Struck: row.Struck != nil,
			Happened: row.HappenedAt.Time, Recorded: row.RecordedAt.Time, MayTally: row.MayTally, MayStand: row.MayStand, MayStrike: row.MayStrike}
		if row.Struck != nil {
			s.Why = row.Struck.Remarks
		}
		out.Records = append(out.Records, s)
	}
	return out, err
}

func seeVersionChanges(r *request) (VersionChanges, error) {
	n, err := strconv.Atoi(r.echo.Param("version"))
	if err != nil || n < 1 {
		return VersionChanges{}, fault.Missing()
	}
	from, err := r.number("from", 0, 0, int64(n))
	if err != nil {
		return VersionChanges{}, err
	}
	c, err := list.SeeDifferences(r.ctx, r.hall(), r.actor, r.scope(), int(from), n)
	out := VersionChanges{ChangeSeq: c.Seq, First: c.First, Differences: c.Differences}
	if c.First {
		out.Added, out.Gone, out.Renamed, out.Turned, out.Moves = []string{}, []string{}, []list.Renamed{}, []list.Turned{}, []list.Move{}
	}
	return out, err
}
