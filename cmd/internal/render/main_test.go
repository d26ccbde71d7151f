package render

import (
	"os"
	"slices"
	"testing"
)

// TestMain lets the test program draw, where it is started for that.
func TestMain(m *testing.M) {
	if slices.Contains(os.Args[1:], ProcessArgument) {
		if Serve(os.Stdin, os.Stdout) != nil {
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}
