package main

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestNoHomeDirectory runs the commands that work on a database as a service user
// or a container does, without a home, and with one that cannot be written to.
func TestNoHomeDirectory(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", "")
	locked := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(locked, nil, 0o400); err != nil {
		t.Fatal(err)
	}
	for _, home := range []string{"", filepath.Join(locked, "home")} {
		t.Setenv("HOME", home)
		data := filepath.Join(t.TempDir(), "shop.db")
		start(t, "serve", "--data", data).end(t)
		for _, args := range [][]string{{"link"}, {"token", "planner"}, {"audit", "verify"}, {"backup", filepath.Join(t.TempDir(), "copy.db")}} {
			mustRun(t, append(args, "--data", data)...)
		}
	}
	t.Setenv("HOME", "")
	for _, args := range [][]string{{"serve"}, {"demo"}, {"link"}, {"backup", "copy.db"}} {
		_, _, err := kerfbook(t, "", args...)
		var usage *usageError
		if !errors.As(err, &usage) || !strings.Contains(err.Error(), "--data") {
			t.Errorf("%s without a home and without --data: %v", args[0], err)
		}
	}
}
