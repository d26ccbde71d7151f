//go:build !linux

package batch

import "io"

// canWatch is false: a process looks at its own memory instead.
const canWatch = false

func memoryOf(int) Size { return 0 }

// waitable is the input as it is: its end is how the process learns that its
// parent has ended, and that is noticed for certain by a read that waits.
func waitable(in io.Reader) io.Reader { return in }

// unhurried does nothing here.
func unhurried() {}
