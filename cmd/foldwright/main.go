// Command foldwright turns a finished PDF into print files for a hand-sewn book.
package main

import (
	"os"

	"foldwright/cmd/internal/cli"
)

func main() { os.Exit(cli.Main()) }
