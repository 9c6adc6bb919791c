package printing

// A hazard's shape is a diamond: crossed out when it kills, half full when it is poisonous, with a stroke when it
// makes ill, dashed with a question mark when nothing is known. The screens draw the same.

var diamond = [][2]float64{{0.5, 0}, {1, 0.5}, {0.5, 1}, {0, 0.5}}

// hazardShape draws the shape of a severity in a square; on a filled band it is drawn in the paper's colour.
func (c *canvas) hazardShape(severity int, x, y, size float64, line, ground ink) {
	c.tell("shape", "hazard", x, y, size, size)
	edge := pen{size * 0.09, line, nil}
	inset := size * 0.05
	x, y, size = x+inset, y+inset, size-2*inset
	switch {
	case severity >= 4 && severity <= 5:
		c.polygon(edge, &line, x, y, size, diamond...)
		cross := pen{size * 0.12, ground, nil}
		c.stroke(cross, x+size*0.33, y+size*0.33, x+size*0.67, y+size*0.67)
		c.stroke(cross, x+size*0.67, y+size*0.33, x+size*0.33, y+size*0.67)
	case severity == 3:
		c.polygon(edge, nil, x, y, size, diamond...)
		c.polygon(pen{}, &line, x, y, size, [2]float64{0, 0.5}, [2]float64{1, 0.5}, [2]float64{0.5, 1})
	case severity == 1 || severity == 2:
		c.polygon(edge, nil, x, y, size, diamond...)
		c.stroke(edge, x+size*0.5, y+size*0.27, x+size*0.5, y+size*0.56)
		c.stroke(edge, x+size*0.5, y+size*0.69, x+size*0.5, y+size*0.73)
	default:
		edge.dash = []float64{size * 0.16, size * 0.1}
		c.polygon(edge, nil, x, y, size, diamond...)
		c.sign("?", line, x, y, size)
	}
}

func (c *canvas) stroke(p pen, x1, y1, x2, y2 float64) {
	c.take(p)
	c.pdf.SetLineCapStyle("round")
	c.pdf.Line(x1, y1, x2, y2)
	c.pdf.SetLineCapStyle("butt")
}

func (c *canvas) sign(text string, i ink, x, y, size float64) {
	s := style{bold, size * 0.55 / mmPerPoint, i}
	c.text(text, s, x+(size-c.ruler.width(text, s))/2, y+size*0.70)
}

// crossedSlips is the mark of a dispute: two paper slips, one across the other.
func (c *canvas) crossedSlips(i ink, x, y, size float64) {
	c.tell("shape", "slips", x, y, size, size)
	p := pen{size * 0.06, i, nil}
	c.polygon(p, &white, x, y, size, [2]float64{0.06, 0.30}, [2]float64{0.86, 0.10}, [2]float64{0.94, 0.55}, [2]float64{0.14, 0.75})
	c.polygon(p, &white, x, y, size, [2]float64{0.12, 0.14}, [2]float64{0.94, 0.42}, [2]float64{0.84, 0.86}, [2]float64{0.04, 0.58})
}
