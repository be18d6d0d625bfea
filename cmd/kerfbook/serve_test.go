package main

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"
)

// running is a server started as its user starts it.
type running struct {
	link   string
	stop   context.CancelFunc
	ended  chan error
	output *lines
}

// lines collects what a server prints while it runs.
type lines struct {
	mu   sync.Mutex
	text bytes.Buffer
	link chan string
}

var signInLink = regexp.MustCompile(`http://\S+/sign-in\S+`)

func (l *lines) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.text.Write(p)
	if found := signInLink.Find(l.text.Bytes()); found != nil && bytes.Contains(l.text.Bytes(), []byte("Stop with")) {
		select {
		case l.link <- string(found):
		default:
		}
	}
	return len(p), nil
}

func (l *lines) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.String()
}

func start(t *testing.T, args ...string) running {
	t.Helper()
	ctx, stop := context.WithCancel(t.Context())
	r := running{stop: stop, ended: make(chan error, 1), output: &lines{link: make(chan string, 1)}}
	go func() {
		r.ended <- run(ctx, append(args, "--listen", "127.0.0.1:0"), strings.NewReader(""), r.output, io.Discard)
	}()
	select {
	case r.link = <-r.output.link:
	case err := <-r.ended:
		t.Fatalf("the server ended: %v", err)
	case <-time.After(60 * time.Second):
		t.Fatal("the server prints no link")
	}
	return r
}

// end stops the server as Ctrl-C does and wants a clean end.
func (r running) end(t *testing.T) {
	t.Helper()
	r.stop()
	if err := <-r.ended; err != nil {
		t.Errorf("the server ended with %v", err)
	}
}

// signIn spends the link and gives a browser that is signed in.
func (r running) signIn(t *testing.T) (*http.Client, string) {
	t.Helper()
	jar := must(cookiejar.New(nil))(t)
	browser := &http.Client{Jar: jar}
	at := must(url.Parse(r.link))(t)
	origin := at.Scheme + "://" + at.Host
	answer := must(browser.PostForm(origin+"/sign-in", url.Values{"link": {at.Query().Get("link")}}))(t)
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusOK || answer.Request.URL.Path != "/" {
		t.Fatalf("signing in leads to %s with %s", answer.Request.URL, answer.Status)
	}
	return browser, origin
}

func get(t *testing.T, browser *http.Client, address string) (int, string) {
	t.Helper()
	answer := must(browser.Get(address))(t)
	defer answer.Body.Close()
	body := must(io.ReadAll(bufio.NewReader(answer.Body)))(t)
	return answer.StatusCode, string(body)
}

// TestDemoServes starts the demo twice on one database: the link works once, the
// pages show the trims, and the second start finds the first one's data.
func TestDemoServes(t *testing.T) {
	t.Parallel()
	data := filepath.Join(t.TempDir(), "demo.db")
	first := start(t, "demo", "--data", data)
	browser, origin := first.signIn(t)
	if code, page := get(t, browser, origin+"/"); code != http.StatusOK || !strings.Contains(page, "Glow") {
		t.Errorf("the first page answers %d", code)
	}
	if code, _ := get(t, http.DefaultClient, origin+"/readyz"); code != http.StatusOK {
		t.Errorf("readyz answers %d", code)
	}
	at, _ := url.Parse(first.link)
	answer := must(http.PostForm(origin+"/sign-in", url.Values{"link": {at.Query().Get("link")}}))(t)
	answer.Body.Close()
	if answer.StatusCode == http.StatusOK {
		t.Error("a spent link signs in again")
	}
	entries := func() (n int) {
		if _, err := fmt.Sscan(mustRun(t, "audit", "verify", "--data", data), &n); err != nil {
			t.Fatal(err)
		}
		return n
	}
	before, book := entries(), mustRun(t, "export", "book", "--data", data)
	first.end(t)

	second := start(t, "demo", "--data", data)
	second.end(t)
	// The link that the second start prints is an entry.
	if after := entries(); after != before+1 || mustRun(t, "export", "book", "--data", data) != book {
		t.Errorf("a second start changed the database: %d entries, then %d", before, after)
	}
}

// TestTokenAndBackup makes a token, asks with it, backs the database up while it
// is served and restores it.
func TestTokenAndBackup(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	data, copied, back := filepath.Join(dir, "demo.db"), filepath.Join(dir, "copy.db"), filepath.Join(dir, "back.db")
	server := start(t, "demo", "--data", data)
	at, _ := url.Parse(server.link)
	token, _, _ := strings.Cut(mustRun(t, "token", "planner", "--scopes", "read", "--data", data), "\n")
	req := must(http.NewRequestWithContext(t.Context(), http.MethodGet, "http://"+at.Host+"/api/v1/book", nil))(t)
	req.Header.Set("Authorization", "Bearer "+token)
	answer := must(http.DefaultClient.Do(req))(t)
	answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		t.Errorf("the book answers a token with %s", answer.Status)
	}
	mustRun(t, "backup", copied, "--data", data)
	server.end(t)
	mustRun(t, "restore", copied, "--data", back)
	if a, b := mustRun(t, "audit", "verify", "--data", data), mustRun(t, "audit", "verify", "--data", back); a != b {
		t.Errorf("the restored database differs:\n%s%s", a, b)
	}
	if _, _, err := kerfbook(t, "", "restore", copied, "--data", back); !errors.Is(err, os.ErrExist) {
		t.Errorf("restoring over a database: %v", err)
	}
}

func TestServeRefusesOpenNetworks(t *testing.T) {
	t.Parallel()
	data := filepath.Join(t.TempDir(), "shop.db")
	for _, c := range []struct{ args, want string }{
		{"--listen 0.0.0.0:8087", "reached from other machines"},
		{"--listen :8087", "reached from other machines"},
		{"--listen 8087", "an address and a port"},
		{"--listen 192.0.2.1:8087 --tls-cert cert.pem", "go together"},
		{"--listen 192.0.2.1:8087 --behind-proxy everywhere", "is no network"},
		{"--listen 192.0.2.1:8087 --behind-proxy 10.0.0.0/8", "--public-origin"},
		{"--listen 127.0.0.1:0 --behind-proxy 10.0.0.0/8 --public-origin http://costs.example", "--public-origin"},
		{"--log-level loud", "debug, info, warn or error"},
	} {
		_, _, err := kerfbook(t, "", append([]string{"serve", "--data", data}, strings.Fields(c.args)...)...)
		var usage *usageError
		if !errors.As(err, &usage) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("serve %s: %v", c.args, err)
		}
	}
}

// TestMistypedDatabase: what looks after a database never makes a new one.
func TestMistypedDatabase(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	nowhere := filepath.Join(dir, "nowhere.db")
	for _, args := range [][]string{{"audit", "verify"}, {"backup", filepath.Join(dir, "copy.db")}, {"token", "planner"}, {"link"}} {
		if _, _, err := kerfbook(t, "", append(args, "--data", nowhere)...); !errors.Is(err, os.ErrNotExist) {
			t.Errorf("%s: %v", args[0], err)
		}
	}
	if files, err := os.ReadDir(dir); err != nil || len(files) != 0 {
		t.Errorf("left behind: %v, %v", files, err)
	}
}

func TestServeChecksBeforeItOpens(t *testing.T) {
	t.Parallel()
	data := filepath.Join(t.TempDir(), "shop.db")
	out, _, err := kerfbook(t, "", "serve", "--data", data, "--listen", "127.0.0.1:0", "--tls-cert", "no.pem", "--tls-key", "no.pem")
	if err == nil || strings.Contains(out, "sign-in") {
		t.Errorf("a missing certificate gives %v and prints %q", err, out)
	}
	if _, err := os.Stat(data); !errors.Is(err, os.ErrNotExist) {
		t.Error("a database was made all the same")
	}
}

func TestVersion(t *testing.T) {
	t.Parallel()
	out := mustRun(t, "--version")
	if want := regexp.MustCompile(`^kerfbook \S+\ncommit .+\ngo1\.\d+\S*\nSQLite 3\.\d+\.\d+\nschema [1-9]\d*\n$`); !want.MatchString(out) {
		t.Errorf("--version prints %q", out)
	}
}
