// Command pictures takes the README's pictures from a running demo, so that they stay true: start
// `go run ./cmd/forayhall demo`, then `go run ./deploy/guide/pictures --url http://127.0.0.1:8080/`. It needs Chromium.
package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/chromedp/chromedp"
)

// picture is one screen: who looks at it, where, and how large the window is.
type picture struct {
	name   string
	login  string
	path   string
	width  int64
	height int64
}

const password = "hollinbeck-2026" // the demo's, printed when it starts

var pictures = []picture{
	{"list", "", "/hollinbeck/HB26/list", 1280, 900},
	{"warnings", "", "/hollinbeck/HB26/warnings", 390, 844},
	{"tables", "", "/hollinbeck/HB26/tables", 1280, 900},
	{"intake", "ines.desk", "/hollinbeck/HB26/intake", 390, 844},
	{"bench", "benedict.identifier", "/hollinbeck/HB26/queue", 1280, 900},
	{"collection", "benedict.identifier", "/hollinbeck/HB26/c/0066", 1280, 1000},
}

func main() {
	url := flag.String("url", "http://127.0.0.1:8080", "address of the running demo")
	out := flag.String("out", filepath.Join("deploy", "guide"), "folder for the pictures")
	flag.Parse()
	if err := takeAll(strings.TrimSuffix(*url, "/"), *out); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func takeAll(url, out string) error {
	for _, p := range pictures {
		if err := take(url, out, p); err != nil {
			return fmt.Errorf("picture %s: %w", p.name, err)
		}
	}
	return nil
}

// take uses a browser of its own for each picture, so that nobody is signed in by accident.
func take(url, out string, p picture) error {
	flags := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.NoSandbox, chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("hide-scrollbars", true))
	ctx, stop := chromedp.NewExecAllocator(context.Background(), flags...)
	defer stop()
	ctx, end := chromedp.NewContext(ctx)
	defer end()
	ctx, cancel := context.WithTimeout(ctx, 2*time.Minute)
	defer cancel()
	steps := []chromedp.Action[chromedp.Void]{chromedp.EmulateViewport(p.width, p.height)}
	if p.login != "" {
		steps = append(steps, chromedp.Navigate(url+"/sign-in?next="+p.path), chromedp.SendKeys("#name", p.login),
			chromedp.SendKeys("#password", password+"\r"), chromedp.WaitNotPresent("#password"))
	}
	steps = append(steps, chromedp.Navigate(url+p.path), chromedp.WaitReady("main"))
	if err := chromedp.Do(ctx, steps...); err != nil {
		return err
	}
	shot, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(out, p.name+".png"), shot, 0o644)
}
