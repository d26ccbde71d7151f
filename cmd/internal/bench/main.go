// Command bench measures prepare against a plain rewrite of the whole file by
// qpdf and mutool.
//
// It makes its books itself (books.go, pictures.go), runs the programs in turn, so
// that all of them see the same machine (race.go, measure.go), works out how few
// bytes the print files could have (floor.go), and prints ratios (report.go).
//
// testdata/bench/run builds the program and calls it.
package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, args []string) error {
	if len(args) > 1 && args[0] == measured {
		return startMeasured(args[1], args[2:])
	}
	f := flag.NewFlagSet("bench", flag.ContinueOnError)
	program := f.String("program", "", "the foldwright to measure")
	folder := f.String("books", "", "folder for the books; those that are there are used again")
	rounds := f.Int("rounds", 3, "how often each program does each book; the middle counts")
	only := f.String("only", "", "only this part: text, pictures, scan, joined, shelf, linear")
	further := f.String("book", "", "a PDF of your own, instead of the generated books")
	if err := f.Parse(args); err != nil {
		return err
	}
	if f.NArg() == 2 && f.Arg(0) == "floor" {
		return printFloor(ctx, f.Arg(1))
	}
	if *program == "" || *folder == "" || f.NArg() > 0 || *rounds < 1 {
		return fmt.Errorf("usage: bench --program FOLDWRIGHT --books FOLDER [--rounds N] [--only PART] [--book FILE.pdf], or bench floor PRINT-FOLDER:SOURCE.pdf")
	}
	absolute, err := filepath.Abs(*program)
	if err != nil {
		return err
	}
	b := &benchmark{program: absolute, books: *folder, rounds: *rounds, only: *only, further: *further, out: os.Stdout}
	return b.all(ctx)
}
