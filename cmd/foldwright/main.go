// Command foldwright turns a finished PDF into print files for a hand-sewn book.
package main

import (
	"os"

	"foldwright/cmd/internal/cli"
	"foldwright/cmd/internal/interrupt"
)

func main() { os.Exit(cli.Main(interrupt.Context())) }
