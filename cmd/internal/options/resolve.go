package options

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/binding/structure"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Setting is what options are resolved with and do not choose.
type Setting struct {
	Profiles profiles.Store
	Region   Region
	Version  string // of the program, for plan.json
	// Proof says that the folder will be proved before it is published: one that
	// was proved is another one for a shelf than one that was not.
	Proof bool
}

// Resolved is options of which none is left open, and what they were resolved
// with. Nothing changes them afterwards.
type Resolved struct {
	Options      Options
	Profile      profiles.Profile
	Guessed      bool // nobody named the printer: the usual case is assumed
	Paper        reorder.Paper
	PaperBecause string
	Own          profiles.Paper    // the paper of the person's own; zero: none was named
	Rules        binding.Structure // of the structure that was asked for; zero: the one that suits the book
	FreeSizes    bool              // nobody said how many sheets a gathering has
	Version      string            // of the program
	Request      Request

	asked         Options
	setting       Setting
	otherPrinters []profiles.Profile // of inserts and end-leaves
	otherPapers   []profiles.Paper   // of one's own, of these
}

// With is what would have been asked and resolved with other settings as well. What is proposed to a person
// is tried so: the same values are told and taken.
func (r Resolved) With(settings ...phrase.Setting) (Resolved, error) {
	o := r.asked
	for _, s := range settings {
		if err := o.Set(s); err != nil {
			return Resolved{}, err
		}
	}
	return o.Resolve(r.setting)
}

// Resolve fills in every value that was not given: from the printer's profile,
// else the default. Its errors are those of Check, of the profile, the paper and the structure.
func (o Options) Resolve(set Setting) (Resolved, error) {
	asked := o
	paper, err := set.Region.Choose(set.Profiles, o.Paper)
	o.takePaper(paper.Own)
	if err := cmp.Or(o.Check(), err); err != nil {
		return Resolved{}, err
	}
	profile, err := set.Profiles.Find(o.Printer)
	if err != nil {
		return Resolved{}, err
	}
	r := Resolved{
		Options: o, Profile: profile, Version: set.Version, asked: asked, setting: set,
		Guessed:   o.Printer == "" && profile.Name == profiles.Guess,
		FreeSizes: o.Sheets == 0 && o.Pieces == 0 && len(o.Gatherings) == 0 && o.GatheringThickness == Thickness{},
	}
	if err := r.resolvePaper(paper); err != nil {
		return Resolved{}, err
	}
	if o.Structure != "" {
		if r.Rules, err = structure.Find(o.Structure); err != nil {
			return Resolved{}, err
		}
		r.Options.Structure = r.Rules.Name
	}
	r.Options.takeProfile(profile)
	r.Options.resolvePages()
	r.Options.resolveForm()
	if err := r.Options.resolveSheets(); err != nil {
		return Resolved{}, err
	}
	if leaf, err := r.Options.Form().PanelSize(r.Paper.Size); err == nil { // else the planner refuses the form
		r.Options.Leaf = reorder.LeafOf(leaf)
	}
	if err := r.resolveInserts(); err != nil {
		return Resolved{}, err
	}
	r.Request, err = r.request()
	return r, err
}

// resolvePaper settles the paper: what was asked for, else the profile's, else the region's.
func (r *Resolved) resolvePaper(chosen Chosen) (err error) {
	choice := cmp.Or(r.Options.Paper, r.Profile.Paper)
	if r.Options.Paper == "" && choice != "" {
		if chosen, err = r.setting.Region.Choose(r.setting.Profiles, choice); err != nil {
			return err
		}
		chosen.Because = fmt.Sprintf("from the profile %s", r.Profile.Name)
	}
	r.Paper, r.PaperBecause, r.Own = chosen.Paper, chosen.Because, chosen.Own
	r.Options.Paper = r.Paper.Name
	if r.Options.Units == 0 {
		r.Options.Units = UnitsOf(cmp.Or(r.Own.Size, choice), r.Paper.Name)
	}
	return nil
}

// takeProfile takes what the printer's profile knows.
func (o *Options) takeProfile(p profiles.Profile) {
	o.Printer = p.Name
	if o.Run == (Run{}) {
		o.Run = Run{Book: true}
		if p.TraySheets > 0 {
			o.Run = Run{Most: p.TraySheets}
		}
	}
	if k := p.KeepClear; !o.KeepClear.Given && k != nil {
		o.KeepClear = Edges{true, Length(k.Head), Length(k.Tail), Length(k.Left), Length(k.Right)}
	}
}

// resolvePages fills in which pages stand on their leaves, and how.
func (o *Options) resolvePages() {
	o.Place = cmp.Or(o.Place, reorder.AgainstSpine)
	o.Wide = cmp.Or(o.Wide, reorder.WideTurn)
	if o.Box == 0 {
		o.Box = BoxCrop
		if o.Margins.Given {
			o.Box = BoxContent
		} else if o.IsTrimmed() {
			o.Box = BoxTrim // which is the visible box where a page has no other
		}
	}
	o.Split = cmp.Or(o.Split, SplitNone)
	if o.Split == SplitSpreads {
		o.SplitFirst = cmp.Or(o.SplitFirst, FirstByWidth)
	}
	o.Bind = cmp.Or(o.Bind, reorder.BindLeft)
	o.Pad = cmp.Or(o.Pad, reorder.PadAfter)
	if !o.Marks.Given {
		o.Marks = UsualMarks
	}
	o.Volumes = max(1, o.Volumes)
	o.resolveRuling()
	if o.Numbers != 0 {
		o.NumbersFrom = max(1, o.NumbersFrom)
	}
}

// resolveRuling fills in how the pages of a blank book are ruled, or those of blank gatherings: where margins are not given
// for these, they are none of the book's own pages.
func (o *Options) resolveRuling() {
	if o.Blank == 0 && len(o.BlankGatherings) == 0 {
		return
	}
	o.Ruling = cmp.Or(o.Ruling, RulingPlain)
	if o.Ruling == RulingPlain {
		return
	}
	if o.Spacing == 0 {
		o.Spacing = usualSpacing[o.Ruling]
	}
	if o.Blank > 0 {
		o.Margins = o.RulingMargins()
	}
}

// RulingMargins are the margins of ruled pages.
func (o Options) RulingMargins() Margins {
	if o.Margins.Given {
		return o.Margins
	}
	return usualMargins
}

// How pages are ruled unless somebody says otherwise, in mm (common practice, no source).
var (
	usualSpacing = map[Ruling]Length{RulingLines: 7, RulingGrid: 5, RulingDots: 5}
	usualMargins = Margins{true, 15, 10, 15, 15}
)

// resolveForm fills in how sheets become gatherings.
func (o *Options) resolveForm() {
	o.Fold = cmp.Or(o.Fold, reorder.Folio)
	o.Cut = max(1, o.Cut)
	if o.Cut > 1 {
		o.CutEdge, o.CutBy = cmp.Or(o.CutEdge, reorder.AnyEdge), cmp.Or(o.CutBy, CutByGathering)
	}
	o.Nest = cmp.Or(o.Nest, reorder.Inset)
	if o.Fold == reorder.Concertina {
		o.Overlap = cmp.Or(o.Overlap, usualOverlap)
	}
}

// resolveSheets fills in the fewest and the most sheets of a gathering.
func (o *Options) resolveSheets() error {
	s := o.Fold.Scheme()
	if len(o.Gatherings) > 0 || s.OneStack {
		return nil
	}
	if s.Alone {
		o.Fewest, o.Sheets = 1, 1
		return nil
	}
	form, most, what := o.Form(), &o.Sheets, "sheet"
	if o.Pieces > 0 || o.Sheets == 0 && o.Cut >= manyPieces {
		form.ByPieces, most, what = true, &o.Pieces, "piece"
	}
	caliper, _ := o.LeafCaliper()
	thin, thick := float64(o.GatheringThickness.Thin), float64(o.GatheringThickness.Thick)
	switch {
	case thick == 0:
		if *most == 0 {
			*most = max(o.Fewest, reorder.SheetsOfThickness(form, caliper.Usual, reorder.UsualThickness))
		}
	case thin == thick:
		*most = reorder.SheetsOfThickness(form, caliper.Usual, thick)
	default:
		fewest, largest, ok := reorder.SheetsWithin(form, caliper.Usual, thin, thick)
		if !ok {
			one := caliper.Usual * float64(form.PagesOf(1)/2)
			return refusal.Plan.New("%s: no number of %ss makes it, folded %ss of this paper are %.2f mm thick each", phrase.Set("gathering-thickness", o.GatheringThickness), what, what, one)
		}
		o.Fewest, *most = fewest, largest
	}
	o.Fewest = max(1, o.Fewest)
	return nil
}

// manyPieces: of sheets cut into so many a whole one makes too thick a gathering, so pieces are counted.
const manyPieces = 8

// usualOverlap is what the sheets of a concertina are glued by, in mm (common
// practice, no source).
const usualOverlap = 10

// UnitsOf is the units in which people measure who use a paper, by its PWG
// 5101.1 name, and by what they call it: inches where its size is in inches.
func UnitsOf(names ...string) binding.Units {
	for _, name := range names {
		if strings.HasSuffix(name, "in") {
			return binding.Inches
		}
	}
	return binding.MM
}

// Request is the digest of what a folder follows from besides its source: the
// options, full copies of the printer's profile and of the structure that was
// asked for, and the program's version.
type Request [sha256.Size]byte

// request is made of options as they were asked for, and of what they were resolved with.
func (r Resolved) request() (Request, error) {
	known, err := json.Marshal(struct {
		Profile   profiles.Profile   `json:"profile"`
		Structure binding.Structure  `json:"structure,omitzero"`
		Paper     profiles.Paper     `json:"paper,omitzero"`
		Others    []profiles.Profile `json:"others,omitempty"`
		Papers    []profiles.Paper   `json:"papers,omitempty"`
	}{r.Profile, r.Rules, r.Own, r.otherPrinters, r.otherPapers})
	if err != nil {
		return Request{}, err
	}
	// The options as given, in Go's own syntax: whether one was given is seen
	// too, for what was assumed is said on the run sheet.
	return sha256.Sum256(fmt.Appendf(nil, "%s\n%#v\n%s\n%s\n%t\n", r.setting.Version, r.asked.withoutPaths(), r.Paper.Name, known, r.setting.Proof)), nil
}

// Of is the request for a source of files of these names, in lower case hexadecimal
// digits. It stands in the folder's plan, so that a shelf can tell without
// opening a source whether a folder is what would be written again.
func (r Request) Of(files ...string) string {
	var names []string
	for _, f := range files {
		names = append(names, filepath.Base(f))
	}
	sum := sha256.Sum256(append(r[:], strings.Join(names, "/")...))
	return hex.EncodeToString(sum[:])
}
