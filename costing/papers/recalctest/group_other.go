//go:build !unix

package recalctest

import (
	"os/exec"
	"time"
)

// ownGroup stops waiting for the children of a cancelled command.
func ownGroup(cmd *exec.Cmd) { cmd.WaitDelay = 5 * time.Second }
