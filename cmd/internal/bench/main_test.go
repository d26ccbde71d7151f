// Package bench makes the books with which testdata/bench/run and .ci/shelf measure
// (books_test.go), and works out how few bytes print files could have (floor_test.go).
// There is nothing in it but a test program, which takes words as well:
//
//	go test -c -o bench ./cmd/internal/bench && ./bench books plain 40 1 book.pdf
package bench

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"strconv"
	"testing"
)

// TestMain runs the tests, or what the words after the program's name ask for.
func TestMain(m *testing.M) {
	flag.Parse()
	if flag.NArg() == 0 {
		os.Exit(m.Run())
	}
	if err := run(context.Background(), flag.Args()); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, args []string) error {
	if len(args) == 2 && args[0] == "floor" {
		return printFloor(ctx, args[1])
	}
	if len(args) < 5 || len(args)%4 != 1 || args[0] != "books" {
		return errors.New("usage: bench floor PRINT-FOLDER:SOURCE.pdf, or bench books KIND PAGES SEED FILE [KIND PAGES SEED FILE ...]")
	}
	for next := args[1:]; len(next) > 0; next = next[4:] {
		pages, err := strconv.Atoi(next[1])
		if err != nil {
			return err
		}
		seed, err := strconv.ParseUint(next[2], 10, 64)
		if err != nil {
			return err
		}
		if err := (book{kind: next[0], pages: pages, seed: seed}).write(next[3]); err != nil {
			return fmt.Errorf("%s: %w", next[3], err)
		}
	}
	return nil
}
