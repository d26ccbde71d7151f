//go:build !windows

package cli

import (
	"os"
	"runtime"

	"golang.org/x/term"
)

// isClicked tells whether the program was opened by a double click: then it is connected to no
// terminal, and there is a screen. (macOS opens programs in a terminal; its archive holds what opens the page.)
func isClicked() bool {
	for _, f := range []*os.File{os.Stdin, os.Stdout, os.Stderr} {
		if term.IsTerminal(int(f.Fd())) {
			return false
		}
	}
	return runtime.GOOS == "darwin" || os.Getenv("DISPLAY") != "" || os.Getenv("WAYLAND_DISPLAY") != ""
}
