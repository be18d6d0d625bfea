// Package pgtest gives tests a PostgreSQL of their own: a private cluster in a
// temporary folder, reached through a socket in it and gone after the test.
package pgtest

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
)

// Cluster is a running server.
type Cluster struct {
	folder  string
	user    string
	server  func() *exec.Cmd
	running *exec.Cmd
	ended   chan struct{}
	made    atomic.Int64
}

// Start starts a cluster for the time of a test. Without PostgreSQL on the
// machine the test is skipped, but fails where CI is set.
func Start(t testing.TB) *Cluster {
	t.Helper()
	bin, err := binaries()
	if err != nil {
		unavailable(t, err)
	}
	owner, err := findOwner()
	if err != nil {
		unavailable(t, err)
	}
	// Not t.TempDir: the path of a socket has little room.
	folder, err := os.MkdirTemp("", "kerfbook-pg-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = os.RemoveAll(folder) })
	if err := owner.give(folder); err != nil {
		t.Fatal(err)
	}
	c := &Cluster{folder: folder, user: "kerfbook"}
	data := filepath.Join(folder, "data")
	initialise := owner.command(filepath.Join(bin, "initdb"), "-D", data, "-U", c.user, "-A", "trust", "-E", "UTF8", "--locale=C.UTF-8", "--no-sync")
	initialise.Dir = folder
	if out, err := initialise.CombinedOutput(); err != nil {
		t.Fatalf("initdb: %v\n%s", err, out)
	}
	c.server = func() *exec.Cmd {
		return owner.command(filepath.Join(bin, "postgres"), "-D", data, "-k", folder,
			"-c", "listen_addresses=", "-c", "fsync=off", "-c", "max_connections=200")
	}
	if err := c.run(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { c.stop(os.Interrupt) }) // disconnects everybody and ends in order
	return c
}

// Crash ends the server at once, as a crash does, and starts it again.
func (c *Cluster) Crash() error {
	c.stop(atOnce)
	return c.run()
}

func unavailable(t testing.TB, why error) {
	t.Helper()
	if os.Getenv("CI") != "" {
		t.Fatalf("no PostgreSQL to test with: %v", why)
	}
	t.Skipf("no PostgreSQL to test with: %v", why)
}

// binaries finds the folder of the newest server installed.
func binaries() (string, error) {
	found, err := filepath.Glob("/usr/lib/postgresql/*/bin/initdb")
	if err != nil {
		return "", err
	}
	if len(found) > 0 {
		return filepath.Dir(slices.Max(found)), nil
	}
	path, err := exec.LookPath("initdb")
	if err != nil {
		return "", fmt.Errorf("there is no initdb: %w", err)
	}
	if path, err = filepath.EvalSymlinks(path); err != nil {
		return "", err
	}
	return filepath.Dir(path), nil
}

// run starts the server and waits until it answers.
func (c *Cluster) run() error {
	server := c.server()
	server.Dir = c.folder
	if err := server.Start(); err != nil {
		return err
	}
	c.running, c.ended = server, make(chan struct{})
	go func() {
		defer close(c.ended)
		_ = server.Wait()
	}()
	for deadline := time.Now().Add(30 * time.Second); ; time.Sleep(20 * time.Millisecond) {
		conn, err := pgx.Connect(context.Background(), c.address("postgres"))
		if err == nil {
			return conn.Close(context.Background())
		}
		if time.Now().After(deadline) {
			return fmt.Errorf("the server does not answer: %w", err)
		}
	}
}

func (c *Cluster) stop(how os.Signal) {
	_ = c.running.Process.Signal(how)
	select {
	case <-c.ended:
	case <-time.After(20 * time.Second):
		_ = c.running.Process.Kill()
		<-c.ended
	}
}

func (c *Cluster) address(database string) string {
	return fmt.Sprintf("postgres://%s@/%s?host=%s", c.user, database, c.folder)
}

// Database makes an empty database and gives its address.
func (c *Cluster) Database(t testing.TB) string {
	t.Helper()
	name := fmt.Sprintf("book_%d", c.made.Add(1))
	c.exec(t, "CREATE DATABASE "+name)
	return c.address(name)
}

// DatabaseIn makes an empty database whose tables lie in a folder of their own.
func (c *Cluster) DatabaseIn(t testing.TB, folder string) string {
	t.Helper()
	owner, err := findOwner()
	if err != nil {
		t.Fatal(err)
	}
	if err := owner.give(folder); err != nil {
		t.Fatal(err)
	}
	name := fmt.Sprintf("book_%d", c.made.Add(1))
	c.exec(t, fmt.Sprintf("CREATE TABLESPACE of_%s LOCATION '%s'", name, folder))
	c.exec(t, fmt.Sprintf("CREATE DATABASE %s TABLESPACE of_%s", name, name))
	return c.address(name)
}

func (c *Cluster) exec(t testing.TB, statement string) {
	t.Helper()
	ctx := context.Background()
	conn, err := pgx.Connect(ctx, c.address("postgres"))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(ctx)
	if _, err := conn.Exec(ctx, statement); err != nil {
		t.Fatal(err)
	}
}
