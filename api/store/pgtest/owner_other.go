//go:build !unix

package pgtest

import (
	"os"
	"os/exec"
)

// owner is who runs the server.
type owner struct{}

func findOwner() (owner, error) { return owner{}, nil }

func (owner) give(string) error { return nil }

func (owner) command(name string, args ...string) *exec.Cmd { return exec.Command(name, args...) }

// atOnce ends a server without any order: it recovers when it starts again.
var atOnce = os.Kill
