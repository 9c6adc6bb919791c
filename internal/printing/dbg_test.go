package printing

import (
	"os"
	"testing"
)

func TestDbg(t *testing.T) {
	s := sampleSheet(t, inHall)
	s.Here = s.Here[:25]
	save := stages
	stages = []stage{{0, 2}}
	sd := details
	details = []float64{9}
	os.WriteFile("/tmp/fontwork/dbg.pdf", sheetBytes(t, s, Paper{}), 0o644)
	stages, details = save, sd
}
