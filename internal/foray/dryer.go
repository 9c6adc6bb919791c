package foray

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"forayhall/internal/fault"
	"forayhall/internal/message"
)

// Dryer is a dryer by what can be put into it. One number lies at each place: shapes and colours change until nobody
// knows them again, so that the map of trays is all that tells them apart.
type Dryer struct {
	Name   string
	Trays  []string // from top to bottom
	Places int      // a tray
}

// Slot is one place of a tray.
type Slot struct {
	Tray  string
	Place int    // from 1
	Text  string // as it is written down: "A 3-2"
	Key   string
}

// Bounds of a dryer: more than any that a hall has.
const (
	MostTrays    = 60
	MostPlaces   = 30
	longestDryer = 12 // letters, of its name
	longestTray  = 16
)

// NumberedTrays names so many trays by their numbers.
func NumberedTrays(n int) []string {
	trays := make([]string, n)
	for i := range trays {
		trays[i] = strconv.Itoa(i + 1)
	}
	return trays
}

// SlotText is how a place is written down. A tray that holds one number is its own place.
func (d Dryer) SlotText(tray string, place int) string {
	if d.Places == 1 {
		return d.Name + " " + tray
	}
	return fmt.Sprintf("%s %s-%d", d.Name, tray, place)
}

// Slots lists the places, tray by tray from the top.
func (d Dryer) Slots() []Slot {
	slots := make([]Slot, 0, len(d.Trays)*d.Places)
	for _, tray := range d.Trays {
		for place := 1; place <= d.Places; place++ {
			text := d.SlotText(tray, place)
			slots = append(slots, Slot{Tray: tray, Place: place, Text: text, Key: SlotKey(text)})
		}
	}
	return slots
}

// SlotKey is a place as it is compared: "a3/2" is "A 3-2".
func SlotKey(written string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return -1
		case r == '/' || r == '–' || r == ',' || r == '.':
			return '-'
		}
		return unicode.ToLower(r)
	}, written)
}

// Check says what is wrong with a dryer, by field, beside others that stand.
func (d Dryer) Check(others []Dryer) error {
	wrong := map[string]message.Text{}
	if d.Name == "" || len([]rune(d.Name)) > longestDryer {
		wrong["name"] = message.T("dryer.name", "most", longestDryer)
	}
	if len(d.Trays) < 1 || len(d.Trays) > MostTrays {
		wrong["trays"] = message.T("dryer.trays", "most", MostTrays)
	}
	if d.Places < 1 || d.Places > MostPlaces {
		wrong["places"] = message.T("dryer.places", "most", MostPlaces)
	}
	for _, tray := range d.Trays {
		if tray == "" || len([]rune(tray)) > longestTray || strings.ContainsRune(tray, '\n') {
			wrong["trays"] = message.T("dryer.tray-name", "most", longestTray)
		}
	}
	if len(wrong) == 0 {
		d.clash(others, wrong)
	}
	if len(wrong) > 0 {
		return fault.Many(wrong)
	}
	return nil
}

// clash finds two places, of this dryer or another, that would be written alike.
func (d Dryer) clash(others []Dryer, wrong map[string]message.Text) {
	seen := map[string]string{}
	for _, o := range others {
		if SlotKey(o.Name) == SlotKey(d.Name) {
			wrong["name"] = message.T("dryer.named", "name", o.Name)
			return
		}
		for _, s := range o.Slots() {
			seen[s.Key] = o.Name
		}
	}
	for _, s := range d.Slots() {
		if other, taken := seen[s.Key]; taken && other != d.Name {
			wrong["name"] = message.T("dryer.clash", "slot", s.Text, "other", other)
		} else if taken {
			wrong["trays"] = message.T("dryer.twice", "slot", s.Text)
		}
		seen[s.Key] = d.Name
	}
}

// Temperatures in °C: common practice dries in moving air at 35 to 45 °C, and stays at or under 40 °C where a sequence
// is wanted of the specimen; stored versions of one protocol name 105 °F (40.5 °C) and 120 °F (49 °C) as ceilings.
const (
	DryerLow    = 35.0
	DryerHigh   = 45.0
	DryerTissue = 40.0
)

// DryerAdvice is a word about a temperature; it forbids nothing.
type DryerAdvice string

const (
	Warm      DryerAdvice = ""           // as it should be
	TooCool   DryerAdvice = "cool"       // dries slowly
	TooHot    DryerAdvice = "hot"        // cooks
	HotForDNA DryerAdvice = "hot_tissue" // of a specimen in it a sequence is wanted
)

// Advise says what a temperature means for what lies in the dryer.
func Advise(celsius float64, tissueWanted bool) DryerAdvice {
	switch {
	case celsius > DryerHigh:
		return TooHot
	case celsius > DryerTissue && tissueWanted:
		return HotForDNA
	case celsius < DryerLow:
		return TooCool
	}
	return Warm
}
