// Command kerfbook prices machined, finished, assembled products in trims from
// one book: kerfbook help lists what it does.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	err := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	if err == nil {
		return
	}
	fmt.Fprintln(os.Stderr, "kerfbook:", err)
	var usage *usageError
	if errors.As(err, &usage) {
		os.Exit(2)
	}
	os.Exit(1)
}
