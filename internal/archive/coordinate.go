package archive

import (
	"regexp"
	"strconv"
	"strings"
)

var degrees = regexp.MustCompile(`^([NSEW])?\s*(-?\d{1,3}(?:[.,]\d+)?)\s*(?:[°º]\s*(?:(\d{1,2}(?:[.,]\d+)?)\s*['′’]\s*(?:(\d{1,2}(?:[.,]\d+)?)\s*(?:"|″|”|'')\s*)?)?)?([NSEW])?$`)

// readDegrees reads decimal degrees WGS 84, with point or comma, and degrees, minutes and seconds with the letter
// of the hemisphere. positive and negative are the letters that fit: N and S, or E and W.
func readDegrees(text, positive, negative string, limit float64) (float64, bool) {
	m := degrees.FindStringSubmatch(strings.ToUpper(dashes.Replace(text)))
	if m == nil || m[1] != "" && m[5] != "" {
		return 0, false
	}
	value, minutes, seconds := decimal(m[2]), decimal(m[3]), decimal(m[4])
	letter := m[1] + m[5]
	minus := strings.HasPrefix(m[2], "-")
	if letter != "" && (letter != positive && letter != negative || minus) || minutes >= 60 || seconds >= 60 {
		return 0, false
	}
	part := minutes/60 + seconds/3600
	if minus {
		part = -part
	}
	value += part
	if letter == negative {
		value = -value
	}
	return value, -limit <= value && value <= limit
}

// decimal reads digits that a pattern has already checked; none is 0.
func decimal(digits string) float64 {
	v, _ := strconv.ParseFloat(strings.Replace(digits, ",", ".", 1), 64)
	return v
}
