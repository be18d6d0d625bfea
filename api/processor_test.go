package api

import (
	"runtime"
	"syscall"
	"time"
)

// thread asks the system for the times of the calling thread (Linux, getrusage(2)).
const thread = 1

// processor gives the processor time that f takes on its own thread, which does not
// depend on what else the machine does.
func processor(f func()) time.Duration {
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	used := func() time.Duration {
		var u syscall.Rusage
		if syscall.Getrusage(thread, &u) != nil {
			return 0
		}
		return time.Duration(u.Utime.Nano() + u.Stime.Nano())
	}
	before := used()
	f()
	return used() - before
}
