// Package interrupt hears the signals that end the program in order, from the
// earliest moment at which a Go program can.
//
// Packages are initialised in the order of their paths, each after those that
// it imports. This one imports little, so that only the runtime and a part of
// the standard library come before it, and nothing that takes long. A signal
// from before that moment ends the process as the system has it: nothing has
// been done by then.
package interrupt

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

// heard is a variable so that it is made before main is called.
var heard = listen()

func listen() chan os.Signal {
	c := make(chan os.Signal, 1)
	signal.Notify(c, os.Interrupt, syscall.SIGTERM)
	return c
}

// Context is cancelled by the first signal. With nobody listening any more a
// second one ends the process at once. It is for one call, by main.
func Context() context.Context {
	ctx, cancel := context.WithCancel(context.Background())
	go func() {
		<-heard
		cancel()
		signal.Stop(heard)
	}()
	return ctx
}
