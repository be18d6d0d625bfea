//go:build linux

package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"kerfbook/api/edge"
	"kerfbook/api/store/pgtest"
)

// asProgram makes a child of the test the program itself.
const asProgram = "KERFBOOK_TEST_AS_PROGRAM"

// TestMain runs the tests, or the program in a child of theirs.
func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
		return
	}
	os.Exit(m.Run())
}

// cannot skips a test of a fault that this machine does not let us make, and
// fails it where everything is to be tested.
func cannot(t *testing.T, why string, err error) {
	t.Helper()
	if os.Getenv("CI") != "" {
		t.Fatalf("%s: %v", why, err)
	}
	t.Skipf("%s: %v", why, err)
}

// smallDisk is a folder on a disk of its own with a few MiB of room.
func smallDisk(t *testing.T, mebibytes int) string {
	t.Helper()
	folder := must(os.MkdirTemp("", "kerfbook-disk-"))(t)
	t.Cleanup(func() { _ = os.RemoveAll(folder) })
	if err := syscall.Mount("tmpfs", folder, "tmpfs", 0, fmt.Sprintf("size=%dm", mebibytes)); err != nil {
		cannot(t, "a small disk cannot be mounted", err)
	}
	t.Cleanup(func() { _ = syscall.Unmount(folder, syscall.MNT_DETACH) })
	return folder
}

// fill takes all room of a disk and gives it back when asked.
func fill(t *testing.T, folder string) (free func()) {
	t.Helper()
	name := filepath.Join(folder, "filler")
	f := must(os.Create(name))(t)
	defer f.Close()
	for size := 1 << 20; size > 0; {
		if n, err := f.Write(make([]byte, size)); errors.Is(err, syscall.ENOSPC) {
			if size /= 16; n > 0 {
				size = max(size, 1)
			}
		} else if err != nil {
			t.Fatal(err)
		}
	}
	return func() {
		if err := os.Remove(name); err != nil {
			t.Fatal(err)
		}
	}
}

// child is the program in a process of its own, with a token for it.
type child struct {
	t             *testing.T
	cmd           *exec.Cmd
	log           *lines
	link          string
	origin, token string
}

func serveChild(t *testing.T, data, token string) *child {
	t.Helper()
	self := must(os.Executable())(t)
	out := &lines{link: make(chan string, 1)}
	c := &child{t: t, log: &lines{}, token: token, cmd: exec.Command(self, "demo", "--data", data, "--listen", "127.0.0.1:0")}
	c.cmd.Env = append(os.Environ(), asProgram+"=1")
	c.cmd.Stdout, c.cmd.Stderr = out, c.log
	if err := c.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = c.cmd.Process.Kill() })
	select {
	case c.link = <-out.link:
		c.origin, _, _ = strings.Cut(c.link, "/sign-in")
	case <-time.After(60 * time.Second):
		t.Fatalf("the server prints no link: %s", c.log.String())
	}
	if c.token == "" {
		c.token, _, _ = strings.Cut(mustRun(t, "token", "planner", "--scopes", "read,quote", "--data", data), "\n")
	}
	return c
}

func (c *child) end() {
	c.t.Helper()
	_ = c.cmd.Process.Signal(os.Interrupt)
	if err := c.cmd.Wait(); err != nil {
		c.t.Errorf("the server ended with %v: %s", err, c.log.String())
	}
}

// ask sends a request and gives the status and what a failure says.
func (c *child) ask(method, path, key string) (int, edge.Problem) {
	c.t.Helper()
	var body io.Reader
	if key != "" {
		body = strings.NewReader(aQuote)
	}
	r, err := http.NewRequestWithContext(c.t.Context(), method, c.origin+path, body)
	if err != nil {
		c.t.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer "+c.token)
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Idempotency-Key", key)
	answer := must(http.DefaultClient.Do(r))(c.t)
	defer answer.Body.Close()
	var p edge.Problem
	if answer.StatusCode >= 400 {
		err = json.NewDecoder(answer.Body).Decode(&p)
	}
	if err != nil {
		c.t.Errorf("%s %s: %v", method, path, err)
	}
	return answer.StatusCode, p
}

func (c *child) quote(key string) (int, edge.Problem) { return c.ask("POST", "/api/v1/quotes", key) }

// want asks for a status.
func (c *child) want(status int, method, path, key string) edge.Problem {
	c.t.Helper()
	got, p := c.ask(method, path, key)
	if got != status {
		c.t.Errorf("%s %s: %d %s, want %d", method, path, got, p.Detail, status)
	}
	return p
}

// quotes counts the quotes there are.
func (c *child) quotes() int {
	c.t.Helper()
	r, _ := http.NewRequestWithContext(c.t.Context(), "GET", c.origin+"/api/v1/quotes", nil)
	r.Header.Set("Authorization", "Bearer "+c.token)
	answer := must(http.DefaultClient.Do(r))(c.t)
	defer answer.Body.Close()
	var page struct{ Items []json.RawMessage }
	if err := json.NewDecoder(answer.Body).Decode(&page); err != nil {
		c.t.Fatal(err)
	}
	return len(page.Items)
}

// fullDisk fills the disk under a server and frees it: the server says what is
// the matter, reads on, loses nothing, and goes on without a restart.
func fullDisk(t *testing.T, data, folder string) *child {
	t.Helper()
	c := serveChild(t, data, "")
	c.want(201, "POST", "/api/v1/quotes", "before")
	free := fill(t, folder)
	kept, refused := 1, 0
	for n := 0; refused < 5 && n < 200; n++ {
		switch status, p := c.quote(strconv.Itoa(n)); {
		case status == 201:
			kept++
		case status != 507 || p.Code != "no_space" || !strings.Contains(p.Detail, "nothing was saved") || !strings.Contains(p.Detail, "Free some room"):
			t.Fatalf("a full disk: %d %s: %s\n%s", status, p.Code, p.Detail, c.log.String())
		default:
			refused++
		}
	}
	if refused == 0 {
		t.Fatal("the disk never was full")
	}
	c.want(200, "GET", "/api/v1/book", "")
	if p := c.want(503, "GET", "/readyz", ""); !strings.Contains(p.Detail, "room") {
		t.Errorf("readyz says %q: %s", p.Detail, c.log.String())
	}
	c.want(200, "GET", "/healthz", "")
	if n := c.quotes(); n != kept {
		t.Errorf("%d quotes, %d were acknowledged", n, kept)
	}
	free()
	c.want(200, "GET", "/readyz", "")
	c.want(201, "POST", "/api/v1/quotes", "0")
	c.want(201, "POST", "/api/v1/quotes", "after")
	return c
}

func TestFullDisk(t *testing.T) {
	t.Parallel()
	folder := smallDisk(t, 16)
	data := filepath.Join(folder, "shop.db")
	c := fullDisk(t, data, folder)
	if log := c.log.String(); !strings.Contains(log, "database or disk is full") {
		t.Errorf("the log does not name the reason: %s", log)
	}
	c.end()
	free := fill(t, folder)
	if _, _, err := kerfbook(t, "", "link", "--data", data); err == nil || strings.Contains(err.Error(), "damaged") || !strings.Contains(err.Error(), "room") {
		t.Errorf("starting on a full disk: %v", err)
	}
	free()
	mustRun(t, "audit", "verify", "--data", data)
}

func TestFullDiskOfPostgres(t *testing.T) {
	t.Parallel()
	cluster := pgtest.Start(t)
	folder := smallDisk(t, 24)
	data := cluster.DatabaseIn(t, folder)
	c := fullDisk(t, data, folder)
	if log := c.log.String(); !strings.Contains(log, "No space left on device") {
		t.Errorf("the log does not name the reason: %s", log)
	}
	c.end()
	mustRun(t, "audit", "verify", "--data", data)
}

// TestLostSync lets every sync of a running server fail. What was asked then is
// of an unknown outcome, and asking again with the same key has one effect.
func TestLostSync(t *testing.T) {
	t.Parallel()
	strace, err := exec.LookPath("strace")
	if err != nil {
		cannot(t, "failing syncs need strace", err)
	}
	data := filepath.Join(t.TempDir(), "shop.db")
	c := serveChild(t, data, "")
	c.want(201, "POST", "/api/v1/quotes", "before")
	trace := exec.Command(strace, "-f", "-qq", "-o", filepath.Join(t.TempDir(), "trace"), "-e", "trace=fsync,fdatasync", "-e", "inject=fsync,fdatasync:error=EIO", "-p", strconv.Itoa(c.cmd.Process.Pid))
	var said bytes.Buffer
	trace.Stderr = &said
	if err := trace.Start(); err != nil {
		t.Fatal(err)
	}
	ended := sync.OnceFunc(func() { _ = trace.Process.Signal(os.Interrupt); _ = trace.Wait() })
	t.Cleanup(ended)
	kept, key := 1, ""
	for n := 0; key == "" && n < 500; n++ {
		switch status, p := c.quote(strconv.Itoa(n)); {
		case status == 201: // strace is not there yet
			kept++
			time.Sleep(10 * time.Millisecond)
		case status != 503 || p.Code != "outcome_unknown" || !strings.Contains(p.Detail, "not known whether"):
			t.Fatalf("a failed sync: %d %s: %s %s", status, p.Code, p.Detail, said.String())
		default:
			key = strconv.Itoa(n)
		}
	}
	c.want(200, "GET", "/api/v1/book", "")
	ended()
	// The disk may have dropped what it failed to keep, so nothing is believed
	// before a new start.
	for _, k := range []string{key, "another"} {
		if p := c.want(503, "POST", "/api/v1/quotes", k); p.Code != "store_failed" || !strings.Contains(p.Detail, "nothing was saved") {
			t.Errorf("writing on: %s: %s", p.Code, p.Detail)
		}
	}
	if p := c.want(503, "GET", "/readyz", ""); !strings.Contains(p.Detail, "start") {
		t.Errorf("readyz says %q: %s", p.Detail, c.log.String())
	}
	if log := c.log.String(); !strings.Contains(log, "disk I/O error") {
		t.Errorf("the log does not name the reason: %s", log)
	}
	c.end()
	c = serveChild(t, data, c.token)
	c.want(201, "POST", "/api/v1/quotes", key)
	c.want(201, "POST", "/api/v1/quotes", key)
	if n := c.quotes(); n != kept+1 {
		t.Errorf("%d quotes, %d were acknowledged and one was unknown", n, kept)
	}
	c.want(200, "GET", "/readyz", "")
	c.end()
	mustRun(t, "audit", "verify", "--data", data)
}
