package view

import (
	"time"

	"forayhall/internal/message"
)

// Wall is read from five metres. It shows numbers and never a person.
type Wall struct {
	Layout    Layout
	AsOf      time.Time
	Counts    []StateCount
	Waiting   int
	OnTables  int
	Spoiling  []WallPlate
	Teams     []WallTeam
	Warnings  []WallWarning
	More      int
	Wide      []string
	Nameless  int
	NoContact bool
}

// WallPlate is a plate that spoils soon.
type WallPlate struct {
	Number Number
	Group  string
	Left   time.Duration
}

// left is how long it keeps, in the words of a wall.
func (p WallPlate) left() message.Text {
	if p.Left <= 0 {
		return T("wall.spoiled")
	}
	return T("wall.spoils-in", "time", span(p.Left))
}

// WallTeam is a team by its number.
type WallTeam struct {
	Number int
	State  message.Text
	Out    int
	Due    time.Time
	Late   bool
	Steps  []message.Text // what is to be done, where the team is late or silent
}

// WallWarning is a dangerous taxon and where it stands.
type WallWarning struct {
	Name   SciName
	Hazard Hazard
	Tables []string
}
