package main

import (
	"context"
	"log/slog"
	"time"
)

// tidyEvery is how often a server looks whether the date has come on which an event's personal data goes.
const tidyEvery = 24 * time.Hour

// tendPersonal deletes personal data on its date: at once and then daily, until the context ends. Several instances
// may do so: what is gone is gone.
func tendPersonal(ctx context.Context, in *installation, log *slog.Logger) {
	ticker := time.NewTicker(tidyEvery)
	defer ticker.Stop()
	for {
		n, err := in.Desk.DeleteDue(ctx)
		switch {
		case err != nil && ctx.Err() == nil:
			log.Error("personal data could not be deleted on its date", "error", err)
		case n > 0:
			log.Info("personal data was deleted on its date", "rows", n)
		}
		select {
		case <-ticker.C:
		case <-ctx.Done():
			return
		}
	}
}
