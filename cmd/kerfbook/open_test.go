package main

import (
	"context"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// opened starts the program without a word and gives what its browser was opened on.
func opened(t *testing.T, args ...string) (running, string) {
	t.Helper()
	ctx, stop := context.WithCancel(t.Context())
	r := running{stop: stop, ended: make(chan error, 1), output: &lines{link: make(chan string, 1)}}
	shown := make(chan string, 1)
	go func() {
		r.ended <- runWith(ctx, args, call{stdin: strings.NewReader(""), stdout: r.output, stderr: io.Discard, now: time.Now,
			browse: func(address string) error { shown <- address; return nil }})
	}()
	select {
	case address := <-shown:
		r.link = address
		return r, address
	case err := <-r.ended:
		t.Fatalf("it ended before a browser was opened: %v\n%s", err, r.output)
	case <-time.After(60 * time.Second):
		t.Fatalf("no browser was opened:\n%s", r.output)
	}
	return r, ""
}

// TestStartedWithoutAWord opens the shop of the user's folder in the browser, signed in
// without pasting; a second start opens the same server, and says so.
func TestStartedWithoutAWord(t *testing.T) {
	folder := t.TempDir()
	t.Setenv("XDG_DATA_HOME", folder)
	t.Setenv("KERFBOOK_LISTEN", "127.0.0.1:0")
	first, address := opened(t)
	if !strings.HasSuffix(address, "#at-once") {
		t.Errorf("%s does not sign in by itself", address)
	}
	browser, origin := first.signIn(t)
	if code, page := get(t, browser, origin+"/"); code != http.StatusOK || !strings.Contains(page, "What would you like a price for?") || !strings.Contains(page, "Kerfbook <span") {
		t.Errorf("the first page answers %d:\n%s", code, page)
	}
	if _, err := os.Stat(filepath.Join(folder, "kerfbook", "kerfbook.db")); err != nil {
		t.Error(err)
	}

	second, address := opened(t)
	if err := <-second.ended; err != nil {
		t.Errorf("a second start ends with %v", err)
	}
	if !strings.HasPrefix(address, origin+"/sign-in?link=") || !strings.Contains(second.output.String(), "runs already and serves") {
		t.Errorf("a second start opens %s beside %s and says\n%s", address, origin, second.output)
	}
	second.signIn(t)
	_, _, err := kerfbook(t, "", "serve")
	if err == nil || !strings.Contains(err.Error(), ", at "+origin+";") {
		t.Errorf("serving it a second time: %v", err)
	}
	first.end(t)
}

// TestPortTaken: a Kerfbook with another book on the port is opened; beside any other
// program the shop is served on a free one.
func TestPortTaken(t *testing.T) {
	t.Parallel()
	demo := start(t, "demo", "--data", filepath.Join(t.TempDir(), "demo.db"))
	_, origin := demo.signIn(t)
	at := strings.TrimPrefix(origin, "http://")
	beside, address := opened(t, "open", "--data", filepath.Join(t.TempDir(), "shop.db"), "--listen", at)
	if err := <-beside.ended; err != nil || address != origin+"/" || !strings.Contains(beside.output.String(), "with another book runs already on "+origin) {
		t.Errorf("beside another Kerfbook it opens %s, ends with %v and says\n%s", address, err, beside.output)
	}
	demo.end(t)

	other := httptest.NewServer(http.NotFoundHandler())
	defer other.Close()
	at = strings.TrimPrefix(other.URL, "http://")
	free, address := opened(t, "open", "--data", filepath.Join(t.TempDir(), "shop.db"), "--listen", at)
	if strings.Contains(address, at) || !strings.Contains(free.output.String(), "Another program has "+at) {
		t.Errorf("beside another program it opens %s and says\n%s", address, free.output)
	}
	free.signIn(t)
	free.end(t)
}

// TestNoBrowser: without one the link is there to be opened by hand.
func TestNoBrowser(t *testing.T) {
	t.Parallel()
	var said strings.Builder
	c := &call{stderr: &said, browse: func(string) error { return net.ErrClosed }}
	c.show("http://127.0.0.1:1/sign-in?link=x")
	if !strings.Contains(said.String(), "open the address above") {
		t.Errorf("it says %q", said.String())
	}
}
