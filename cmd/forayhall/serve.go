package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"forayhall/internal/api"
	"forayhall/internal/live"
	"forayhall/internal/pages"
)

// shutdownTime is how long requests under way may take to end.
const shutdownTime = 10 * time.Second

// serving is how the web application is served.
type serving struct {
	listen     string
	secure     bool
	trustProxy bool
	public     string
	log        *slog.Logger
}

func (f *flags) serving(listen string) func() (serving, error) {
	address, secure, trust, public := f.text("listen", listen), f.yes("secure"), f.yes("trust-proxy"), f.public()
	return func() (serving, error) {
		reached, err := public()
		return serving{*address, *secure, *trust, reached, slog.Default()}, err
	}
}

// newServer puts the rooms that speak HTTP together. closing ends the streams when the server begins to shut down.
func newServer(in *installation, s serving, closing <-chan struct{}) *echo.Echo {
	a := &api.API{Hall: in.Hall, Desk: in.Desk, Cookie: pages.CookieName(s.secure), Public: s.public, Secure: s.secure, Closing: closing}
	e := pages.New(pages.Config{Hall: in.Hall, Desk: in.Desk, Secure: s.secure, TrustProxy: s.trustProxy, Public: s.public, Log: s.log, Closing: closing,
		Elsewhere: map[string]func(echo.Context, error) error{api.Prefix + "/": a.Problem}})
	a.Register(e.Group(api.Prefix))
	return e
}

func runServe(ctx context.Context, e *env, args []string) error {
	f := e.flags("serve")
	place, how := f.place(), f.serving("127.0.0.1:8080")
	if _, err := f.parse(args, 0, 0); err != nil {
		return err
	}
	s, err := how()
	if err != nil {
		return err
	}
	in, err := place.openOrMake(ctx, e)
	if err != nil {
		return err
	}
	err = e.serve(ctx, in, s, func(address string) {
		fmt.Fprintln(e.stderr, e.say.Say("cli.serving", "address", address))
	})
	return errors.Join(err, in.close())
}

// serve answers until the context ends, then lets what is under way end.
func (e *env) serve(ctx context.Context, in *installation, s serving, ready func(address string)) error {
	if err := in.readyBlobs(ctx, e); err != nil {
		return err
	}
	listener, err := net.Listen("tcp", s.listen)
	if err != nil {
		return fmt.Errorf("listen on %s: %w", s.listen, err)
	}
	go live.Follow(ctx, in.Live, in.Store.URL(), s.log)
	go in.clearBlobs(ctx, s.log)
	go tendPersonal(ctx, in, s.log)
	server := newServer(in, s, ctx.Done())
	server.Listener = listener
	failed := make(chan error, 1)
	go func() { failed <- server.Start("") }()
	ready("http://" + listener.Addr().String() + "/")
	select {
	case err := <-failed:
		return fmt.Errorf("serve: %w", err)
	case <-ctx.Done():
	}
	ending, cancel := context.WithTimeout(context.WithoutCancel(ctx), shutdownTime)
	defer cancel()
	if err := server.Shutdown(ending); err != nil && !errors.Is(err, context.DeadlineExceeded) {
		return fmt.Errorf("stop serving: %w", err)
	}
	if err := <-failed; err != nil && !errors.Is(err, http.ErrServerClosed) {
		return fmt.Errorf("serve: %w", err)
	}
	return nil
}
