package main

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"strings"
	"time"

	"forayhall/internal/fault"
	"forayhall/internal/message"
)

// healthPatience is how long a server may take: a container is asked every few seconds.
const healthPatience = 5 * time.Second

func runHealth(ctx context.Context, e *env, args []string) error {
	f := e.flags("health")
	url := f.text("url", "http://127.0.0.1:8080")
	if _, err := f.parse(args, 0, 0); err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(ctx, healthPatience)
	defer cancel()
	address := strings.TrimRight(*url, "/") + "/readyz"
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		return f.fault("cli.flag-wrong", "problem", err.Error())
	}
	response, err := http.DefaultClient.Do(request)
	if err != nil {
		return fmt.Errorf("ask the server: %w", err)
	}
	defer response.Body.Close()
	if _, err := io.Copy(io.Discard, io.LimitReader(response.Body, 1<<20)); err != nil {
		return fmt.Errorf("ask the server: %w", err)
	}
	if response.StatusCode != http.StatusOK {
		return fault.New(fault.Refused, "cli.not-ready", "address", address, "status", response.Status)
	}
	e.note(message.T("cli.ready", "address", address))
	return nil
}
