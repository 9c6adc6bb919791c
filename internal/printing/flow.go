package printing

import "slices"

// part is the smallest piece that a block can be parted into: one line, a band, a space.
type part struct {
	h    float64
	draw func(c *canvas, x, y float64)
	with bool // not parted from the one above it
}

// block is what stands together in one column. Only a long block is parted, and one that is loose.
type block struct {
	gap     float64 // above it, unless it begins a column
	parts   []part
	keep    bool                             // with the next block
	rest    []part                           // set above what is left of it where it is parted
	back    func(c *canvas, x, y, h float64) // drawn behind each portion of it
	column  *block                           // set again above it where it begins a column
	newPage *block                           // set again above it where it begins a page
	chapter int                              // that it begins, from 1; 0: none

	loose    bool // parted where it has to be, short as it is
	severity int  // of the lines that it ends
}

func (b *block) height() float64 {
	h := 0.0
	for _, p := range b.parts {
		h += p.h
	}
	return h
}

func (b *block) draw(c *canvas, x, y float64) {
	if b.back != nil {
		b.back(c, x, y, b.height())
	}
	for _, p := range b.parts {
		if p.draw != nil {
			p.draw(c, x, y)
		}
		y += p.h
	}
}

// cut parts a block so that the first portion is at most room high; at least one part stays in the first. It parts
// within a sentence only where there is no other way.
func (b *block) cut(room float64) (head, tail *block) {
	n, h, between := 0, 0.0, 0
	for n < len(b.parts) && (n == 0 || h+b.parts[n].h <= room) {
		h += b.parts[n].h
		if n++; n < len(b.parts) && !b.parts[n].with {
			between = n
		}
	}
	if n < len(b.parts) && between > 0 {
		n = between
	}
	first, rest := *b, *b
	first.parts, rest.parts = b.parts[:n], b.parts[n:]
	if len(rest.parts) > 0 {
		rest.parts = append(slices.Clone(b.rest), rest.parts...)
	}
	first.keep, rest.gap = false, 0
	return &first, &rest
}

// column is a place that blocks flow into.
type column struct{ x, y, w, h float64 }

// spot is a block where it stands.
type spot struct {
	block *block
	x, y  float64
	page  int
}

// flow fills columns with blocks, page after page.
type flow struct {
	columns func(page int) []column
	spots   []spot
	page    int
	at      int     // column on the page
	y       float64 // from the top of the column
}

func (f *flow) here() column { return f.columns(f.page)[f.at] }

func (f *flow) next() {
	f.y = 0
	if f.at++; f.at == len(f.columns(f.page)) {
		f.page, f.at = f.page+1, 0
	}
}

// take places blocks in their order.
func (f *flow) take(blocks []*block) {
	for i := range blocks {
		f.makeRoom(blocks[i], together(blocks[i:], f.columns(f.page + 1)[0].h))
		f.place(blocks[i])
	}
}

// makeRoom goes on until what belongs together has room; what is longer than any column begins where there is some.
func (f *flow) makeRoom(b *block, need float64) {
	whole := f.columns(f.page + 1)[0].h
	if b.column != nil {
		whole -= max(b.column.height(), b.newPage.height()) + b.gap
	}
	if need > whole {
		need = whole / 3
	}
	for f.here().h <= 0 || need > f.left(b) {
		f.next()
	}
}

// left is the room for a block in this column: beneath its gap, or beneath what is set again.
func (f *flow) left(b *block) float64 {
	room := f.here().h - f.y - b.gap + 1e-6
	if f.y > 0 {
		return room
	}
	if again := f.again(b); again != nil {
		return room - again.height()
	}
	return room + b.gap
}

// together is the height of a block with those that may not be parted from it.
func together(blocks []*block, whole float64) float64 {
	if !blocks[0].keep || len(blocks) == 1 {
		return blocks[0].least(whole)
	}
	return blocks[0].height() + blocks[1].gap + together(blocks[1:], whole)
}

// least is what of a block has to stand together: all of a short one, of a long one what comes before it may be parted.
func (b *block) least(whole float64) float64 {
	h := b.height()
	if h < whole*0.3 && !b.loose {
		return h
	}
	least := 0.0
	for i, p := range b.parts {
		if i > 0 && !p.with && (least > whole*0.1 || b.loose) {
			return least
		}
		least += p.h
	}
	return h
}

func (f *flow) place(b *block) {
	if f.y > 0 {
		f.y += b.gap
	} else {
		f.begin(b)
	}
	for b.height() > f.here().h-f.y+1e-6 && len(b.parts) > 1 {
		head, tail := b.cut(f.here().h - f.y)
		f.put(head)
		if b = tail; len(b.parts) == 0 {
			return
		}
		f.next()
		f.begin(b)
	}
	f.put(b)
}

// begin sets again what a column or page needs to be understood alone.
func (f *flow) begin(b *block) {
	if again := f.again(b); again != nil {
		f.put(again)
		f.y += b.gap
	}
}

// again is what is set again where a block begins a column; nil where that would leave it too little room.
func (f *flow) again(b *block) *block {
	again := b.column
	if f.at == 0 && b.newPage != nil {
		again = b.newPage
	}
	if again == nil || again.height() > f.here().h/2 {
		return nil
	}
	return again
}

func (f *flow) put(b *block) {
	f.spots = append(f.spots, spot{b, f.here().x, f.here().y + f.y, f.page})
	f.y += b.height()
}

// flowInto lays blocks out.
func flowInto(blocks []*block, columns func(page int) []column) (spots []spot, pages int) {
	f := &flow{columns: columns}
	f.take(blocks)
	return f.spots, f.page + 1
}
