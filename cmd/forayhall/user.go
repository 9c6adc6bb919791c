package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"golang.org/x/term"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/people"
	"forayhall/internal/hall/setup"
	"forayhall/internal/message"
)

func runUserAdd(ctx context.Context, e *env, args []string) error {
	f := e.flags("user add")
	p, society, name, login := f.place(), f.text("society", ""), f.text("name", ""), f.text("login", "")
	fromStdin, events, words := f.yes("password-stdin"), f.several("event"), f.several("right")
	if _, err := f.parse(args, 0, 0); err != nil {
		return err
	}
	if err := f.need("name", "login"); err != nil {
		return err
	}
	rights, err := readRights(*words)
	if err != nil {
		return err
	}
	if (len(rights) == 0) != (len(*events) == 0) {
		return f.fault("cli.right-and-event")
	}
	return p.with(ctx, e, func(in *installation) error {
		owner, err := in.society(ctx, *society)
		if err != nil {
			return err
		}
		scopes, actor, err := in.scopes(ctx, owner.Code, *events)
		if err != nil {
			return err
		}
		password, err := e.password(*fromStdin)
		if err != nil {
			return err
		}
		id, err := in.Desk.AddAccount(ctx, people.Account{Society: owner.Code, Name: *name, Login: *login, Password: password})
		if err != nil {
			return err
		}
		if err := in.giveRights(ctx, actor, scopes, id, rights); err != nil {
			return err
		}
		return e.printID(id)
	})
}

// readRights refuses a word that is no right before anything is written.
func readRights(words []string) ([]access.Right, error) {
	var rights []access.Right
	for _, w := range words {
		if !slices.Contains(access.Given, access.Right(w)) {
			all := make([]string, len(access.Given))
			for i, r := range access.Given {
				all[i] = string(r)
			}
			return nil, fault.New(fault.Invalid, "cli.right-unknown", "right", w, "rights", strings.Join(all, ", "))
		}
		rights = append(rights, access.Right(w))
	}
	return rights, nil
}

func (in *installation) scopes(ctx context.Context, society string, events []string) (scopes []access.Scope, actor access.Actor, err error) {
	for _, code := range events {
		var a hall.Address
		if a, actor, err = in.event(ctx, society, code); err != nil {
			return nil, actor, err
		}
		scopes = append(scopes, a.Scope)
	}
	return scopes, actor, nil
}

func (in *installation) giveRights(ctx context.Context, actor access.Actor, scopes []access.Scope, person foray.ID, rights []access.Right) error {
	for _, scope := range scopes {
		for _, r := range rights {
			cmd, err := in.command()
			if err != nil {
				return err
			}
			if _, err := setup.GiveRight(ctx, in.Hall, actor, scope, cmd, setup.Right{Person: person, Right: r}); err != nil {
				return err
			}
		}
	}
	return nil
}

func runUserPassword(ctx context.Context, e *env, args []string) error {
	f := e.flags("user password")
	p, fromStdin := f.place(), f.yes("password-stdin")
	words, err := f.parse(args, 1, 1)
	if err != nil {
		return err
	}
	return p.with(ctx, e, func(in *installation) error {
		password, err := e.password(*fromStdin)
		if err != nil {
			return err
		}
		if err := in.Desk.SetPassword(ctx, words[0], password); err != nil {
			return err
		}
		e.note(message.T("cli.password-set", "login", words[0]))
		return nil
	})
}

// password never comes from an argument, which everybody on the machine could read.
func (e *env) password(fromStdin bool) (string, error) {
	if fromStdin {
		line, err := bufio.NewReader(io.LimitReader(e.stdin, 4096)).ReadString('\n')
		if err != nil && !errors.Is(err, io.EOF) {
			return "", fmt.Errorf("read the password: %w", err)
		}
		return strings.TrimRight(line, "\r\n"), nil
	}
	file, ok := e.stdin.(*os.File)
	if !ok || !term.IsTerminal(int(file.Fd())) {
		return "", fault.New(fault.Invalid, "cli.password-how")
	}
	first, err := e.ask(file, "cli.password-ask")
	if err != nil {
		return "", err
	}
	second, err := e.ask(file, "cli.password-again")
	if err == nil && first != second {
		err = fault.New(fault.Invalid, "cli.password-differs")
	}
	return first, err
}

func (e *env) ask(terminal *os.File, key string) (string, error) {
	fmt.Fprint(e.stderr, e.say.Say(key)+" ")
	typed, err := term.ReadPassword(int(terminal.Fd()))
	fmt.Fprintln(e.stderr)
	if err != nil {
		return "", fmt.Errorf("read the password: %w", err)
	}
	return string(typed), nil
}

// longestToken is a year: a script that is forgotten must end some day.
const longestToken = 366

func runToken(ctx context.Context, e *env, args []string) error {
	f := e.flags("token")
	p, days, words, label := f.place(), f.number("days", 30), f.several("right"), f.text("label", "")
	login, err := f.parse(args, 1, 1)
	if err != nil {
		return err
	}
	only, err := readRights(*words)
	if err != nil {
		return err
	}
	if *days < 1 || *days > longestToken {
		return f.fault("cli.days", "most", longestToken)
	}
	return p.with(ctx, e, func(in *installation) error {
		token, err := in.Desk.Token(ctx, login[0], *label, only, time.Duration(*days)*24*time.Hour)
		if err != nil {
			return err
		}
		_, err = fmt.Fprintln(e.stdout, token)
		return err
	})
}
