package archive

import (
	"context"
	"io"
)

// meter counts the bytes that are read, says so now and then, and ends the reading when nobody waits for it any more.
type meter struct {
	ctx         context.Context
	done, total int64
	said        int64
	report      func(done, total int64)
}

// sayEvery is how many bytes lie between two reports of progress.
const sayEvery = 1 << 20

func newMeter(ctx context.Context, report func(done, total int64)) *meter {
	if report == nil {
		report = func(int64, int64) {}
	}
	return &meter{ctx: ctx, report: report}
}

// readings is how often every file of rows is read: to find its encoding, to look at its rows, to hand them out.
const readings = 3

func (m *meter) expect(files []*dataFile) {
	for _, d := range files {
		m.total += readings * d.file.size
	}
}

func (m *meter) count(n int) {
	m.done = min(m.done+int64(n), m.total)
	if m.done-m.said >= sayEvery {
		m.said = m.done
		m.report(m.done, m.total)
	}
}

func (m *meter) finish() {
	m.done = m.total
	m.report(m.done, m.total)
}

// reader counts; silent only listens for the end of waiting.
func (m *meter) reader(r io.Reader) io.Reader { return metered{m, r, true} }
func (m *meter) silent(r io.Reader) io.Reader { return metered{m, r, false} }

type metered struct {
	*meter
	from   io.Reader
	counts bool
}

func (r metered) Read(p []byte) (int, error) {
	if err := r.ctx.Err(); err != nil {
		return 0, err
	}
	n, err := r.from.Read(p)
	if r.counts {
		r.count(n)
	}
	return n, err
}
