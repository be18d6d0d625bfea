// Command kerfbook prices machined, finished, assembled products in trims from
// one book: kerfbook help lists what it does.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"runtime"
	"syscall"
)

func main() {
	// Never touched, so that it takes no memory: with it the heap is first swept at twice
	// its size, and most commands end before.
	ballast := make([]byte, 32<<20)
	defer runtime.KeepAlive(ballast)
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	err := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	if err != nil {
		fmt.Fprintln(os.Stderr, "kerfbook:", err)
	}
	if runtime.GOOS == "windows" && len(os.Args) == 1 { // started by a double click: its window ends with it
		fmt.Fprint(os.Stderr, "Press Enter to close this window.")
		_, _ = os.Stdin.Read(make([]byte, 1))
	}
	if err == nil {
		return
	}
	os.Exit(exitCode(err))
}

// exitCode is 1 where something failed, 2 for a call that cannot be understood, 3
// where all was done but for what the book lacks.
func exitCode(err error) int {
	var usage *usageError
	var gaps *gapsError
	switch {
	case errors.As(err, &usage):
		return 2
	case errors.As(err, &gaps):
		return 3
	}
	return 1
}
