package foray

import (
	"strings"
	"time"

	"github.com/google/uuid"
)

// Line is one plate with one name, as a scribe writes a list of them.
type Line struct {
	Written string // the whole line
	Number  string
	Name    string
	Remarks string // what stands behind a semicolon
}

// ReadLines takes a list apart: "0417 Amanita citrina; smells of raw potato" a line. The event's code may stand before
// a number. Empty lines are none.
func ReadLines(text, event string) []Line {
	var lines []Line
	for written := range strings.Lines(text) {
		words := strings.Fields(written)
		if len(words) == 0 {
			continue
		}
		line := Line{Written: strings.Join(words, " ")}
		if len(words) > 1 && strings.EqualFold(words[0], event) {
			words = words[1:]
		}
		name, remarks, _ := strings.Cut(strings.Join(words[1:], " "), ";")
		line.Number, line.Name, line.Remarks = strings.TrimRight(words[0], ":,."), strings.TrimSpace(name), strings.TrimSpace(remarks)
		lines = append(lines, line)
	}
	return lines
}

// Derived is an id made from another and words: the same ones give the same id, so that each line of a list that is
// sent again is seen (RFC 9562, 5.5).
func (id ID) Derived(words string) ID { return ID(uuid.NewSHA1(uuid.UUID(id), []byte(words))) }

// MadeBy is the millisecond up to whose end an id of version 7 was made; zero for another version.
func (id ID) MadeBy() time.Time {
	if id[6]>>4 != 7 {
		return time.Time{}
	}
	var ms int64
	for _, b := range id[:6] {
		ms = ms<<8 | int64(b)
	}
	return time.UnixMilli(ms + 1).UTC()
}

// VersionAt is the version that a collection had at a moment: what somebody who looked then had seen.
func VersionAt(slips []Slip, at time.Time) (version int) {
	for _, s := range slips {
		if s.RecordedAt.Before(at) {
			version = max(version, s.Seq)
		}
	}
	return version
}

// UndoWindow is how long a page offers to take one's own last slip back in one key. Later it is struck, with a reason.
const UndoWindow = time.Minute

// Undo finds the slip that a writer may take back at once: the newest, if it is theirs and of the last minute. What was
// carried here was no word of theirs.
func (s Standing) Undo(writer ID, slips []Slip, now time.Time) (Slip, bool) {
	for _, slip := range slips {
		_, struck := s.Struck[slip.ID]
		newest := slip.Seq == s.Version && slip.Kind != Strike && !struck && !slip.Carried()
		if newest && slip.Writer == writer && now.Sub(slip.RecordedAt) <= UndoWindow {
			return slip, true
		}
	}
	return Slip{}, false
}
