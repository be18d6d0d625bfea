//go:build unix

package pgtest

import (
	"fmt"
	"os"
	"os/exec"
	"os/user"
	"strconv"
	"syscall"
)

// owner is who runs the server: it refuses to run as root.
type owner struct{ as *syscall.Credential }

func findOwner() (owner, error) {
	if os.Geteuid() != 0 {
		return owner{}, nil
	}
	for _, name := range []string{"postgres", "nobody"} {
		if u, err := user.Lookup(name); err == nil {
			uid, err1 := strconv.ParseUint(u.Uid, 10, 32)
			gid, err2 := strconv.ParseUint(u.Gid, 10, 32)
			if err1 == nil && err2 == nil {
				return owner{&syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}}, nil
			}
		}
	}
	return owner{}, fmt.Errorf("it does not run as root, and there is no user postgres or nobody")
}

// give hands a folder over to the owner.
func (o owner) give(folder string) error {
	if o.as == nil {
		return nil
	}
	return os.Chown(folder, int(o.as.Uid), int(o.as.Gid))
}

// command prepares a program that runs as the owner, in a group of its own so
// that an interrupt from the keyboard does not reach it.
func (o owner) command(name string, args ...string) *exec.Cmd {
	cmd := exec.Command(name, args...)
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: o.as, Setpgid: true}
	return cmd
}

// atOnce ends a server without any order: it recovers when it starts again.
const atOnce = syscall.SIGQUIT
