//go:build unix

package main

import (
	"os"
	"runtime"
	"syscall"
)

// peakMemory is the most memory a process had resident.
func peakMemory(p *os.ProcessState) int64 {
	usage, ok := p.SysUsage().(*syscall.Rusage)
	if !ok {
		return 0
	}
	if runtime.GOOS == "darwin" {
		return int64(usage.Maxrss) // bytes there, kilobytes elsewhere
	}
	return int64(usage.Maxrss) << 10
}
