package ipp

import (
	"time"

	"github.com/hashicorp/mdns"
)

// SetPause is how long a test leaves a busy printer alone.
func (p *Printer) SetPause(d time.Duration) { p.pause = d }

// ReadEntry is a printer as it announces itself.
func ReadEntry(service string, e *mdns.ServiceEntry) (Found, bool) { return readEntry(service, e) }
