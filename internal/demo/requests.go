package demo

import (
	"context"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/hall/corrections"
)

// request is a request for a correction with its answer, where there is one yet.
type request struct {
	at       time.Time
	ask      corrections.Ask
	by       string // who answered
	answered time.Time
	answer   corrections.Answer
}

func (e *event) readRequests() error {
	return eachRow("corrections", []string{"event", "at", "about", "kind", "name", "words", "evidence", "from", "reach", "show", "by", "answered", "changed", "answer"}, func(r *row) {
		if r.text("event") != e.set.Code {
			return
		}
		e.requests = append(e.requests, request{at: r.at("at", e.zone), by: r.text("by"), answered: r.at("answered", e.zone),
			ask: corrections.Ask{About: r.text("about"), Kind: r.text("kind"), Name: r.text("name"), Words: r.text("words"), Evidence: r.text("evidence"),
				From: r.text("from"), Reach: r.text("reach"), ShowName: r.yes("show")},
			answer: corrections.Answer{Changed: r.text("changed"), Words: r.text("answer")}})
	})
}

// requestsAfter plays what was asked after the list was signed: by visitors, and answered by who keeps the list.
func (p *player) requestsAfter(ctx context.Context, scope access.Scope, all []request) error {
	for _, q := range all {
		p.now = q.at
		cmd, err := p.command()
		if err != nil {
			return err
		}
		asked, err := corrections.SendRequest(ctx, p.hall, access.Nobody, scope, cmd, q.ask)
		if err != nil {
			return err
		}
		if q.answered.IsZero() {
			continue
		}
		p.now, q.answer.Request = q.answered, asked.Request
		if _, err := do(ctx, p, q.by, scope, q.answer, corrections.AnswerRequest); err != nil {
			return err
		}
	}
	return nil
}
