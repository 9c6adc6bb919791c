package hazard

import (
	"strconv"
	"strings"

	"forayhall/internal/message"
)

// Text says the rule in words.
func (v Via) Text() message.Text { return word("via", string(v)) }

// Text says the exposure in words.
func (e Exposure) Text() message.Text { return word("exposure", string(e)) }

// Text says the state in words.
func (s State) Text() message.Text { return word("state", string(s)) }

// SeverityText says a severity in words; 0 is no entry.
func SeverityText(severity int) message.Text { return word("severity", strconv.Itoa(severity)) }

func word(area, value string) message.Text {
	return message.T("hazard." + area + "." + strings.ReplaceAll(value, " ", "-"))
}
