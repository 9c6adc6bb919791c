package live

import (
	"context"
	"log/slog"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"forayhall/internal/foray"
)

// Channel is the Postgres channel on which a commit wakes the other instances.
const Channel = "forayhall"

// retryAfter is how long to wait before a lost connection is made again.
const retryAfter = time.Second

// Follow wakes this process' listeners for changes that other instances commit, until the context ends. It needs a
// direct connection: a pooler in transaction mode loses notifications. On the embedded database (an empty url) there
// are no other instances. After a lost connection everybody is woken, since something may have been missed.
func Follow(ctx context.Context, hub *Hub, url string, log *slog.Logger) {
	for url != "" && ctx.Err() == nil {
		err := follow(ctx, hub, url)
		if ctx.Err() != nil {
			return
		}
		log.Warn("lost the database's wake-ups; trying again", "error", err)
		select {
		case <-ctx.Done():
		case <-time.After(retryAfter):
		}
	}
}

func follow(ctx context.Context, hub *Hub, url string) error {
	conn, err := pgx.Connect(ctx, url)
	if err != nil {
		return err
	}
	defer func() { _ = conn.Close(context.WithoutCancel(ctx)) }()
	if _, err := conn.Exec(ctx, "LISTEN "+Channel); err != nil {
		return err
	}
	hub.PublishAll()
	for {
		n, err := conn.WaitForNotification(ctx)
		if err != nil {
			return err
		}
		event, _, _ := strings.Cut(n.Payload, " ")
		if id, err := foray.ParseID(event); err == nil {
			hub.Publish(id)
		}
	}
}
