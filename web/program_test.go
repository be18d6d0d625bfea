package web_test

import (
	"bufio"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// program is a file of a release that serves a shop.
type program struct{ path, data string }

// newShop is an empty shop. Where KERFBOOK_PROGRAM names a file of a release, it is that
// file which serves, started without arguments in an empty folder.
func newShop(t testing.TB) *shop {
	t.Helper()
	file := os.Getenv("KERFBOOK_PROGRAM")
	if file == "" {
		return emptyShop(t)
	}
	home := t.TempDir()
	cmd := exec.CommandContext(t.Context(), file)
	cmd.Env = append(os.Environ(), "HOME="+home, "XDG_DATA_HOME="+home, "KERFBOOK_LISTEN=127.0.0.1:0")
	cmd.Cancel = func() error { return cmd.Process.Signal(os.Interrupt) }
	cmd.WaitDelay = 10 * time.Second
	out := must(cmd.StdoutPipe())(t)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cmd.Wait() })
	for lines := bufio.NewScanner(out); lines.Scan(); {
		if _, address, ok := strings.Cut(lines.Text(), " on http://"); ok {
			return &shop{Server: &httptest.Server{URL: "http://" + address}, program: &program{file, filepath.Join(home, "kerfbook", "kerfbook.db")}, log: &lockedLog{}}
		}
	}
	t.Fatal("the program tells no address")
	return nil
}

// link makes a code that signs in once.
func (p *program) link(t testing.TB) string {
	t.Helper()
	said := string(must(exec.CommandContext(t.Context(), p.path, "link", "--data", p.data).Output())(t))
	_, secret, found := strings.Cut(strings.TrimSpace(said), "it works once: ")
	if !found {
		t.Fatalf("no code in %q", said)
	}
	return secret
}
