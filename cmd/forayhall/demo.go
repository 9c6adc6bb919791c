package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"text/tabwriter"
	"time"

	"forayhall/internal/demo"
	"forayhall/internal/fault"
	"forayhall/internal/hall/people"
)

// demoCost makes the demo's many passwords cheap: it is a throw-away on this machine, and its password is printed.
var demoCost = people.Cost{TimePasses: 1, MemoryKiB: 64, Lanes: 1}

// demoAddress is tried first; where it is taken the demo goes to any free port.
const demoAddress = "127.0.0.1:8080"

func runDemo(ctx context.Context, e *env, args []string) error {
	f := e.flags("demo")
	dir, how := f.text("data", ""), f.serving("")
	if _, err := f.parse(args, 0, 0); err != nil {
		return err
	}
	s, err := how()
	if err != nil {
		return err
	}
	if s.listen == "" {
		s.listen = freeOr(demoAddress)
	}
	if *dir == "" {
		throwAway, err := os.MkdirTemp("", "forayhall-demo-")
		if err != nil {
			return fmt.Errorf("make a folder for the demo: %w", err)
		}
		defer func() { _ = os.RemoveAll(throwAway) }()
		*dir = throwAway
	}
	noURL := ""
	in, err := place{dir: dir, url: &noURL}.openOrMake(ctx, e)
	if err != nil {
		return err
	}
	err = e.demo(ctx, in, s)
	return errors.Join(err, in.close())
}

// demo fills an empty folder, serves one that the demo is in, and leaves any other alone.
func (e *env) demo(ctx context.Context, in *installation, s serving) error {
	in.Desk.Cost = demoCost
	content, err := demo.Inspect(ctx, in.Hall)
	if err != nil {
		return err
	}
	var signs demo.Signs
	switch content {
	case demo.Empty:
		signs, err = demo.Fill(ctx, in.Hall, in.Desk)
	case demo.Whole:
		signs, err = demo.SignIns()
	default:
		err = fault.New(fault.Invalid, "demo.not-empty")
	}
	if err != nil {
		return err
	}
	in.Now = demo.NewClock(time.Now)
	return e.serve(ctx, in, s, func(address string) { e.welcome(address, signs) })
}

// welcome prints the address and one sign-in a role.
func (e *env) welcome(address string, signs demo.Signs) {
	fmt.Fprintln(e.stdout, e.say.Say("cli.demo-at", "address", address))
	fmt.Fprintln(e.stdout)
	table := tabwriter.NewWriter(e.stdout, 0, 4, 2, ' ', 0)
	fmt.Fprintln(table, e.say.Say("cli.demo-login")+"\t"+e.say.Say("cli.demo-password")+"\t"+e.say.Say("cli.demo-role")+"\t")
	for _, s := range signs {
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\n", s.Login, s.Password, s.Role, s.Name)
	}
	_ = table.Flush()
	fmt.Fprintln(e.stdout)
	fmt.Fprintln(e.stdout, e.say.Say("cli.demo-end"))
}

// freeOr gives the address when nobody listens there, and any free port of the same host otherwise.
func freeOr(address string) string {
	l, err := net.Listen("tcp", address)
	if err != nil {
		return "127.0.0.1:0"
	}
	_ = l.Close()
	return address
}
