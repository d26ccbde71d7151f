// Package profiles keeps what is known of one way through one printer in YAML
// files.
//
// A [Profile] is the printer, its tray and delivery, the kind of paper and the
// computer that sends. Start with [Store.Find], which knows the user's own
// profiles and the built-in ones; [Parse] reads one profile and is strict
// about keys and values; [Store.Save] writes one that people can read, at once
// or not at all. What the facts mean for the order of the images is
// the business of package printer.
package profiles

import (
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/enum"
	"foldwright/reorder/refusal"
)

// Format is the version of the profile format that this program reads.
const Format = 1

// Profile is one way through one printer.
type Profile struct {
	Format        int    `yaml:"format" json:"format"`
	Name          string `yaml:"name" json:"name"`
	printer.Facts `yaml:",inline"`
	// Assumed names the facts that nobody has looked at.
	Assumed []string `yaml:"assumed,omitempty,flow" json:"assumed,omitempty"`
	// TraySheets is how many sheets the tray takes, 0 if unknown.
	TraySheets int `yaml:"tray-sheets,omitempty" json:"tray-sheets,omitempty"`
	// Tray and Process are what the run sheet's words depend on, 0 if unknown.
	Tray    Tray    `yaml:"tray,omitempty" json:"tray,omitzero"`
	Process Process `yaml:"process,omitempty" json:"process,omitzero"`
	// KeepClear is the edge the printer cannot reach, nil if unknown.
	KeepClear *printer.KeepClear `yaml:"keep-clear,omitempty" json:"keep-clear,omitempty"`
	// Paper is the paper that lies in the tray, as reorder.ParsePaper takes it.
	Paper        string               `yaml:"paper,omitempty" json:"paper,omitempty"`
	Registration printer.Registration `yaml:"registration,omitempty" json:"registration,omitzero"`
	Scale        printer.Scalings     `yaml:"scale,omitempty" json:"scale,omitzero"`
	Note         string               `yaml:"note,omitempty" json:"note,omitempty"`
}

// check completes an automatic printer's profile and refuses what cannot be.
func (p *Profile) check() error {
	if p.Format != Format {
		return refusal.Plan.New("format must be 1")
	}
	if p.Name == "" {
		return refusal.Plan.New("the name is missing")
	}
	if p.TwoSided == printer.Automatic {
		p.completeAutomatic()
	}
	if err := p.Facts.Check(); err != nil {
		return err
	}
	if p.TraySheets < 0 {
		return refusal.Plan.New("tray-sheets must not be less than 0")
	}
	if p.KeepClear != nil {
		if err := p.KeepClear.Check(); err != nil {
			return err
		}
	}
	if p.Paper != "" {
		if _, err := reorder.ParsePaper(p.Paper); err != nil {
			return err
		}
	}
	for _, fact := range p.Assumed {
		if about[fact] == "" {
			return refusal.Plan.New("assumed names %s, which is not a fact", fact)
		}
	}
	if err := p.Registration.Check(); err != nil {
		return err
	}
	return p.Scale.Check()
}

// completeAutomatic fills in what an automatic printer's profile may leave
// out, and notes it as assumed.
func (p *Profile) completeAutomatic() {
	if p.Lands == 0 {
		p.Lands, p.Assumed = printer.FaceDown, append(p.Assumed, "lands")
	}
	if p.Stacks == 0 {
		p.Stacks, p.Assumed = printer.OnTop, append(p.Assumed, "stacks")
	}
	if p.Sends == 0 {
		p.Sends, p.Assumed = printer.FirstPageFirst, append(p.Assumed, "sends")
	}
}

// Process is how the print gets onto the paper; sheets come out hot or wet.
type Process = enum.Value[processWords]

const (
	Laser Process = iota + 1
	Inkjet
)

// Tray is the kind of tray.
type Tray = enum.Value[trayWords]

const (
	Drawer  Tray = iota + 1 // the paper lies flat, inside
	Upright                 // the paper stands, one face looks at the person
	Slot                    // the paper lies flat, half of it outside
)

type (
	processWords struct{}
	trayWords    struct{}
)

func (processWords) Words() enum.Words { return enum.New("process", "laser", "inkjet") }
func (trayWords) Words() enum.Words    { return enum.New("tray", "drawer", "upright", "slot") }
