// Command forayhall is the whole of Foray Hall: the web application and every command line of it. It exists to wire
// the rooms together; it must never hold a rule of the hall, since then a page and a command could differ.
package main

import (
	"context"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"
	_ "time/tzdata" // a hall's laptop may have no time zones of its own

	"forayhall/internal/fault"
	"forayhall/internal/message"
)

// command is one subcommand. Its short description is the text cli.about.NAME, with dashes for spaces.
type command struct {
	name  string // one word, or two
	usage string // what stands after the name
	run   func(ctx context.Context, e *env, args []string) error
}

// commands lists every subcommand in the order of the help page.
func commands() []command {
	return []command{
		{"demo", "[--listen ADDR] [--data DIR]", runDemo},
		{"serve", "[--data DIR] [--listen ADDR] [--database URL] [--public URL] [--secure] [--trust-proxy]", runServe},
		{"migrate", "[--data DIR | --database URL]", runMigrate},
		{"society add", `CODE "NAME"`, runSocietyAdd},
		{"society publisher", "[--society CODE] [--licence LICENCE] [--publisher NAME] [--contact NAME] [--mail ADDRESS] [--web URL] [--about TEXT] [--institution CODE] [--collection CODE]", runSocietyPublisher},
		{"event add", "--society CODE --code CODE --name NAME --from DATE --zone ZONE [--to DATE] [--place PLACE] [--region REGION]", runEventAdd},
		{"user add", "--society CODE --name NAME --login LOGIN [--password-stdin] [--event CODE --right RIGHT ...]", runUserAdd},
		{"user password", "LOGIN [--password-stdin]", runUserPassword},
		{"token", "LOGIN [--days N] [--right RIGHT ...] [--label TEXT]", runToken},
		{"backup", "FILE [--data DIR | --database URL]", runBackup},
		{"restore", "FILE [--data DIR | --database URL]", runRestore},
		{"personal", "[--data DIR | --database URL]", runPersonal},
		{"check", "[--data DIR | --database URL]", runCheck},
		{"health", "[--url URL]", runHealth},
		{"names match", "[FILE] [--checklist FILE ...] [--json]", runNamesMatch},
		{"names review", "[FILE] [--checklist FILE ...] [--json]", runNamesReview},
		{"names import", "FILE [--data DIR | --database URL] [--json]", runNamesImport},
		{"hazards", "[FILE] [--region REGION] [--json]", runHazards},
		{"lookalikes", "[FILE] [--json]", runLookalikes},
		{"stats", "[FILE] [--incidence [--units T]] [--at SIZES] [--replicates N] [--seed N]", runStats},
		{"sun", "--lat DEGREES --lon DEGREES --date DATE --zone ZONE", runSun},
		{"import event", "FILE [--data DIR | --database URL]", runImportEvent},
		{"import collections", "FILE --event CODE [--dry-run] [--all-or-nothing] [--json]", runImportCollections},
		{"import list", "[FILE] --society CODE --title TITLE --scope site|society|record [--site CODE] [--area WORDS] --source SOURCE [--period YEARS] [--dry-run]", runImportList},
		{"export", "--event CODE --as KIND --out FILE [--version N] [--size A4|Letter] [--site CODE] [--public URL] [--licence LICENCE]", runExport},
		{"help", "[COMMAND]", runHelp},
	}
}

// Exit codes that scripts rely on.
const (
	exitDone   = 0
	exitFailed = 1 // it could not be done
	exitWrong  = 2 // the input or the call is wrong
)

// env is what a subcommand meets: the streams, and the language it speaks in.
type env struct {
	stdin  io.Reader
	stdout io.Writer // output and nothing else
	stderr io.Writer // messages and progress
	say    message.Printer
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// run is the program without its process, so that a test can call it.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	e := &env{stdin: stdin, stdout: stdout, stderr: stderr, say: message.For(message.English)}
	return e.exit(e.dispatch(ctx, args))
}

func (e *env) dispatch(ctx context.Context, args []string) error {
	if len(args) == 0 {
		e.help(e.stderr)
		return fault.New(fault.Invalid, "cli.command-missing")
	}
	if args[0] == "-h" || args[0] == "--help" || args[0] == "-help" {
		e.help(e.stdout)
		return nil
	}
	c, rest, ok := find(args)
	if !ok {
		return unknown(args)
	}
	return c.run(ctx, e, rest)
}

// find takes the command with the most words, so that "import event" is not read as another "import".
func find(args []string) (command, []string, bool) {
	for _, words := range []int{2, 1} {
		if len(args) < words {
			continue
		}
		name := strings.Join(args[:words], " ")
		for _, c := range commands() {
			if c.name == name {
				return c, args[words:], true
			}
		}
	}
	return command{}, nil, false
}

// unknown also names the commands that begin with the word that was given.
func unknown(args []string) error {
	var near []string
	for _, c := range commands() {
		if strings.HasPrefix(c.name, args[0]+" ") {
			near = append(near, c.name)
		}
	}
	if len(near) == 0 {
		return fault.New(fault.Invalid, "cli.command-unknown", "command", args[0])
	}
	return fault.New(fault.Invalid, "cli.command-incomplete", "command", args[0], "commands", strings.Join(near, ", "))
}
