// Command smallforay plays a small foray through the API, so that whoever writes a script of their own can see how:
// set-up, a team out and back, finds, names, a dispute settled, tables, cards, a sweep, and the signed list.
//
// Start a hall (`go run ./cmd/forayhall serve`), make a society and somebody with a token (`forayhall user add`,
// `forayhall token`), then
//
//	FORAYHALL_TOKEN=… go run ./deploy/guide/smallforay --url http://127.0.0.1:8080 --society hollinbeck --code GF26
//
// The event is made anew and belongs to the token's person. Everything sent is a command with an id of its own; sent
// again it changes nothing.
package main

import (
	"flag"
	"fmt"
	"os"
)

func main() {
	url := flag.String("url", "http://127.0.0.1:8080", "address of the hall")
	society := flag.String("society", "", "code of the society")
	code := flag.String("code", "GF26", "code of the event to be made")
	flag.Parse()
	f := &foray{client: client{url: *url, token: os.Getenv("FORAYHALL_TOKEN"), society: *society}, code: *code, out: os.Stdout}
	if err := f.play(); err != nil {
		fmt.Fprintln(os.Stderr, "smallforay:", err)
		os.Exit(1)
	}
}
