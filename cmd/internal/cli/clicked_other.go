//go:build !windows

package cli

import (
	"os"
	"path/filepath"
	"runtime"
	"slices"

	"golang.org/x/term"
)

// isClicked tells whether the program was opened by a double click: then it is connected to no
// terminal, and there is a screen. macOS opens a terminal for it and types its whole path there (from memory).
func isClicked() bool {
	if runtime.GOOS == "darwin" && filepath.IsAbs(os.Args[0]) {
		return true
	}
	isTerminal := func(f *os.File) bool { return term.IsTerminal(int(f.Fd())) }
	return !slices.ContainsFunc([]*os.File{os.Stdin, os.Stdout, os.Stderr}, isTerminal) && os.Getenv("DISPLAY")+os.Getenv("WAYLAND_DISPLAY") != ""
}
