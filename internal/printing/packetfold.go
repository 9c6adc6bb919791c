package printing

// A folded packet's face, mm: the size that herbarium boxes take (common practice).
const (
	packetW = 150.0
	packetH = 100.0
)

// fold is how a sheet becomes a packet: the face in its middle, the lower part folded up behind it, the sides in, the
// upper part down over them. Printed on the face, the label is read without opening the packet.
type fold struct {
	left, right float64 // folds of the sides, from the left edge
	top, bottom float64 // folds across, from the upper edge
}

// foldOf puts the face so that the lower part covers it wholly, or as far as the sheet goes, and the rest is the flap.
func foldOf(w, h float64) fold {
	side := (w - packetW) / 2
	lower := min(packetH-2, (h-packetH)*0.53) // a little shorter than the face, so that it lies flat
	return fold{left: side, right: w - side, top: h - lower - packetH, bottom: h - lower}
}

func drawFolded(c *canvas, packets []Packet, run PacketRun) (report Report, err error) {
	f := foldOf(c.width, c.height)
	for _, p := range packets {
		fit, err := fitPacket(&c.ruler, p, run, packetW, packetH)
		if err != nil {
			return report, err
		}
		c.newPage()
		f.draw(c, run)
		fit.draw(c, f.left, f.top)
		report.add(fit)
	}
	return report, c.pdf.Error()
}

// draw marks the folds in pencil and numbers them in the order in which they are made.
func (f fold) draw(c *canvas, run PacketRun) {
	line := pen{0.2, grey, []float64{2, 1.5}}
	for _, x := range []float64{f.left, f.right} {
		c.rule(line, x, markEdge, x, c.height-markEdge)
	}
	for _, y := range []float64{f.top, f.bottom} {
		c.rule(line, markEdge, y, c.width-markEdge, y)
	}
	small := style{upright, 8, grey}
	say := func(key string, x, y, room float64) {
		c.lines(c.set([]span{{run.Say.Say("printing.packet.fold." + key), small}}, 0, even(room), setting{tight, 0}), x, y)
	}
	say("turn", f.left+packetPad, f.top-14, packetW-2*packetPad)
	say("down", f.left+packetPad, f.top-5, packetW-2*packetPad)
	say("up", f.left+packetPad, f.bottom+2, packetW-2*packetPad)
	for _, x := range []float64{markEdge + 1, f.right + 2} {
		say("sides", x, f.top+packetH/2, f.left-markEdge-3)
	}
}
