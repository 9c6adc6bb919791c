package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io"
	"net/url"
	"os"
	"strings"

	"forayhall/internal/archive"
	"forayhall/internal/fault"
)

// flags is the flags of one subcommand. Each is described by the text cli.flag.NAME.
type flags struct {
	*flag.FlagSet
	env *env
}

func (e *env) flags(command string) *flags {
	f := &flags{FlagSet: flag.NewFlagSet(command, flag.ContinueOnError), env: e}
	f.SetOutput(io.Discard)
	f.Usage = func() {}
	return f
}

func (f *flags) about(name string) string { return f.env.say.Say("cli.flag." + name) }

func (f *flags) text(name, fallback string) *string { return f.String(name, fallback, f.about(name)) }

func (f *flags) yes(name string) *bool { return f.Bool(name, false, f.about(name)) }

func (f *flags) number(name string, fallback int) *int { return f.Int(name, fallback, f.about(name)) }

// several is a flag that may be given more than once.
func (f *flags) several(name string) *[]string {
	var all []string
	f.Func(name, f.about(name), func(s string) error {
		all = append(all, s)
		return nil
	})
	return &all
}

// public is the address under which people reach the installation, for codes on paper and in passes; empty: that of each
// request.
func (f *flags) public() func() (string, error) {
	given := f.text("public", os.Getenv("FORAYHALL_PUBLIC"))
	return func() (string, error) {
		if *given == "" {
			return "", nil
		}
		u, err := url.Parse(*given)
		if err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" || u.RawQuery != "" || u.Fragment != "" || u.User != nil || strings.Trim(u.Path, "/") != "" {
			return "", f.fault("cli.public-address", "written", *given)
		}
		return u.Scheme + "://" + u.Host, nil
	}
}

// errHelp ends a command that was only asked for its help.
var errHelp = errors.New("help was asked for")

// parse reads flags that stand before, between or after the arguments, of which there are at least least and at most
// most. After "--" everything is an argument.
func (f *flags) parse(args []string, least, most int) ([]string, error) {
	var words []string
	for len(args) > 0 {
		if err := f.Parse(args); err != nil {
			return nil, f.wrong(err)
		}
		rest := f.Args()
		if ended(args, rest) {
			words = append(words, rest...)
			break
		}
		if len(rest) == 0 {
			break
		}
		words = append(words, rest[0])
		args = rest[1:]
	}
	switch {
	case len(words) < least:
		return nil, f.fault("cli.argument-missing", "usage", f.usage())
	case len(words) > most:
		return nil, f.fault("cli.argument-unknown", "argument", words[most], "usage", f.usage())
	}
	return words, nil
}

// ended reports whether flag parsing stopped at "--".
func ended(args, rest []string) bool {
	at := len(args) - len(rest)
	return at > 0 && args[at-1] == "--"
}

func (f *flags) fault(key string, pairs ...any) error {
	return fault.New(fault.Invalid, key, append(pairs, "command", f.Name())...)
}

func (f *flags) wrong(err error) error {
	if !errors.Is(err, flag.ErrHelp) {
		return f.fault("cli.flag-wrong", "problem", err.Error())
	}
	fmt.Fprintln(f.env.stdout, f.usage())
	if c, _, ok := find(strings.Fields(f.Name())); ok {
		fmt.Fprintln(f.env.stdout, f.env.say.Say(c.about()))
	}
	f.SetOutput(f.env.stdout)
	f.PrintDefaults()
	return errHelp
}

func (f *flags) usage() string {
	c, _, _ := find(strings.Fields(f.Name()))
	return "forayhall " + f.Name() + " " + c.usage
}

// need refuses a call without a flag that has no sensible value of its own.
func (f *flags) need(names ...string) error {
	for _, name := range names {
		if f.Lookup(name).Value.String() == "" {
			return f.fault("cli.flag-missing", "flag", name)
		}
	}
	return nil
}

// input reads a table from the file among the arguments, or from standard input where there is none or "-".
func (e *env) input(words []string) (*archive.Table, error) {
	if len(words) == 0 || words[0] == "-" {
		return archive.ReadTable(e.stdin, e.say.Say("cli.stdin"))
	}
	return e.file(words[0])
}

func (e *env) file(name string) (*archive.Table, error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, unreadable(name, err)
	}
	return archive.ReadTable(bytes.NewReader(data), name)
}

func unreadable(name string, err error) error {
	var path *os.PathError
	if errors.As(err, &path) {
		err = path.Err
	}
	return &fault.Error{Kind: fault.Invalid, Cause: err,
		Text: fault.New(fault.Invalid, "cli.file-unreadable", "file", name, "problem", err.Error()).Text}
}

// form is how a table is written.
func form(json bool) archive.Form {
	if json {
		return archive.AsJSON
	}
	return archive.AsCSV
}
