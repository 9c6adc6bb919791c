package live

import (
	"context"
	"log/slog"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"forayhall/internal/foray"
)

// Channel is the Postgres channel on which a commit wakes the other instances.
const Channel = "forayhall"

const (
	// retryAfter is how long to wait before a lost connection is made again.
	retryAfter = time.Second
	// askEvery is after how long a silence the connection is asked whether it still is one: a network that swallows
	// everything never says so by itself.
	askEvery = 4 * time.Second
	// answerWithin is how long it may take to answer, or to be made.
	answerWithin = 3 * time.Second
)

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
	conn, err := listen(ctx, url)
	if err != nil {
		return err
	}
	defer shut(ctx, conn)
	hub.PublishAll()
	for {
		n, err := next(ctx, conn)
		if err != nil {
			return err
		}
		if n == nil {
			continue
		}
		event, _, _ := strings.Cut(n.Payload, " ")
		if id, err := foray.ParseID(event); err == nil {
			hub.Publish(id)
		}
	}
}

func listen(ctx context.Context, url string) (*pgx.Conn, error) {
	ctx, cancel := context.WithTimeout(ctx, answerWithin)
	defer cancel()
	conn, err := pgx.Connect(ctx, url)
	if err != nil {
		return nil, err
	}
	if _, err := conn.Exec(ctx, "LISTEN "+Channel); err != nil {
		shut(ctx, conn)
		return nil, err
	}
	return conn, nil
}

// shut tells the server, where that takes no time.
func shut(ctx context.Context, conn *pgx.Conn) {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), answerWithin)
	defer cancel()
	_ = conn.Close(ctx)
}

// next waits for a wake-up. After a silence it asks the connection, and answers none where it is still there.
func next(ctx context.Context, conn *pgx.Conn) (*pgconn.Notification, error) {
	quiet, cancel := context.WithTimeout(ctx, askEvery)
	defer cancel()
	n, err := conn.WaitForNotification(quiet)
	if err == nil || quiet.Err() == nil || ctx.Err() != nil {
		return n, err
	}
	asked, cancel := context.WithTimeout(ctx, answerWithin)
	defer cancel()
	return nil, conn.Ping(asked)
}
