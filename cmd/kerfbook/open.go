package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os/exec"
	"runtime"
	"strings"
	"time"

	"kerfbook/api/service"
	"kerfbook/api/store"
	"kerfbook/cmd/kerfbook/settings"
	"kerfbook/web/frame"
)

// runOpen is what the program does that is started without a word, as by a double
// click: it serves the shop in the user's folder and opens the browser on it. Where
// that shop is served already, the browser is opened on the server that runs.
func runOpen(c *call) action {
	flags := settings.NewFlags(c.flags)
	return func(ctx context.Context, _ []string) error {
		s, err := resolved(flags, "kerfbook.db")
		if err != nil {
			return err
		}
		err = c.serve(ctx, s, nil, c.show)
		var served *store.ServedError
		var taken *net.OpError
		switch {
		case errors.As(err, &served) && served.Origin != "":
			return c.openServed(ctx, served)
		case errors.As(err, &taken) && taken.Op == "listen":
			return c.openBeside(ctx, s, err)
		}
		return err
	}
}

// openServed opens the server that has the shop.
func (c *call) openServed(ctx context.Context, served *store.ServedError) error {
	data := func() (string, error) { return served.Database, nil }
	return c.onData(ctx, data, func(_ *store.Store, svc *service.Service) error {
		secret, err := svc.NewSignInLink(ctx)
		if err != nil {
			return err
		}
		link := served.Origin + frame.SignInPath(secret)
		_, err = fmt.Fprintf(c.stdout, "Kerfbook runs already and serves %s on %s; the browser opens that one.\nSign in, once, within 15 minutes: %s\n",
			store.Name(served.Database), served.Origin, link)
		c.show(link)
		return err
	})
}

// openBeside opens the Kerfbook that has the port with another book; where some other
// program has it, the shop is served on a free one.
func (c *call) openBeside(ctx context.Context, s settings.Settings, taken error) error {
	host, _, err := net.SplitHostPort(s.Listen)
	if err != nil || !settings.IsLoopback(host) {
		return taken
	}
	if origin := "http://" + s.Listen; isKerfbook(ctx, origin) {
		_, err := fmt.Fprintf(c.stdout, "A Kerfbook with another book runs already on %s; the browser opens that one. Stop it first to open %s, or start this one by “kerfbook open --listen 127.0.0.1:0”.\n",
			origin, store.Name(s.Data))
		c.show(origin + "/")
		return err
	}
	if _, err := fmt.Fprintf(c.stdout, "Another program has %s; Kerfbook takes a free port.\n", s.Listen); err != nil {
		return err
	}
	s.Listen = net.JoinHostPort(host, "0")
	return c.serve(ctx, s, nil, c.show)
}

// isKerfbook asks for the page that everybody may see.
func isKerfbook(ctx context.Context, origin string) bool {
	ctx, cancel := context.WithTimeout(ctx, 3*time.Second)
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, origin+frame.SignInPath(""), nil)
	if err != nil {
		return false
	}
	answer, err := http.DefaultClient.Do(req)
	if err != nil {
		return false
	}
	defer answer.Body.Close()
	page, _ := io.ReadAll(io.LimitReader(answer.Body, 1<<16))
	return answer.StatusCode == http.StatusOK && strings.Contains(string(page), ">Kerfbook</a>")
}

// show opens an address in the browser. A link signs in by itself where pages have
// scripts. It is an argument of the browser, which other users of this machine may
// see for the moment until it is spent.
func (c *call) show(address string) {
	if strings.Contains(address, "?") {
		address += frame.AtOnce
	}
	if err := c.browse(address); err != nil {
		fmt.Fprintf(c.stderr, "no browser could be started (%v); open the address above in one\n", err)
	}
}

// browser opens an address in the browser of the user.
func browser(address string) error {
	command := exec.Command("xdg-open", address)
	switch runtime.GOOS {
	case "windows":
		command = exec.Command("rundll32", "url.dll,FileProtocolHandler", address)
	case "darwin":
		command = exec.Command("open", address)
	}
	if err := command.Start(); err != nil {
		return err
	}
	go command.Wait() //nolint:errcheck // it is the browser's now
	return nil
}
