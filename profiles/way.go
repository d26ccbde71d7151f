package profiles

import "foldwright/reorder/enum"

// Process is how the print gets onto the paper; sheets come out hot or wet.
type Process int

const (
	Laser Process = iota + 1
	Inkjet
)

// Tray is the kind of tray.
type Tray int

const (
	Drawer  Tray = iota + 1 // the paper lies flat, inside
	Upright                 // the paper stands, one face looks at the person
	Slot                    // the paper lies flat, half of it outside
)

var (
	processWords = enum.Words{What: "process", List: []string{"laser", "inkjet"}}
	trayWords    = enum.Words{What: "tray", List: []string{"drawer", "upright", "slot"}}
)

func (v Process) String() string { return processWords.Of(int(v)) }
func (v Tray) String() string    { return trayWords.Of(int(v)) }

func (v Process) MarshalText() ([]byte, error) { return []byte(v.String()), nil }
func (v Tray) MarshalText() ([]byte, error)    { return []byte(v.String()), nil }

func (v *Process) UnmarshalText(text []byte) error { return enum.Parse(v, processWords, string(text)) }
func (v *Tray) UnmarshalText(text []byte) error    { return enum.Parse(v, trayWords, string(text)) }
