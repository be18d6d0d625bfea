//go:build unix

package recalctest

import (
	"os/exec"
	"syscall"
	"time"
)

// ownGroup makes a cancelled command take its children along: soffice is a
// script that starts the program proper, which would go on calculating and hold
// the output open.
func ownGroup(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }
	cmd.WaitDelay = 5 * time.Second
}
