package ipp

import "time"

// SetPause is how long a test leaves a busy printer alone.
func (p *Printer) SetPause(d time.Duration) { p.pause = d }
