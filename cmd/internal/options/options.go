package options

import (
	"cmp"
	"unicode/utf8"

	"foldwright/cmd/internal/binding"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Options is what a person can choose. A zero field is not given: its value
// then comes from the printer's profile or is the default named here. Its keys in
// plan.json are those of worklists, but that lengths are numbers and say their unit, and that
// sheets counts what is printed: the most of a gathering are most-sheets there.
type Options struct {
	Paper              string         `json:"paper"`                             // the profile's, else the region's
	Sheets             int            `json:"most-sheets,omitzero" key:"sheets"` // at most so many per gathering: what makes it about 0.8 mm thick
	Pieces             int            `json:"pieces,omitzero"`                   // at most so many folded pieces per gathering, instead of Sheets; the default from 8 pieces to a sheet on
	Fewest             int            `json:"fewest,omitzero"`                   // at least so many sheets, or with Pieces pieces, per gathering: 1
	GatheringThickness Thickness      `json:"gathering-thickness-mm,omitzero"`   // Sheets and Fewest say it
	Gatherings         Sizes          `json:"gatherings,omitempty"`              // exact sizes instead of Sheets
	Printer            string         `json:"printer"`                           // the user's default printer, else the usual case
	Run                Run            `json:"run"`                               // the profile's tray, else the book
	Scale              Scale          `json:"scale"`                             // fit
	ScaleEach          bool           `json:"scale-each"`                        // one scale for the book
	Place              reorder.Stand  `json:"place"`                             // fold
	Gutter             Length         `json:"gutter-mm"`                         // none
	Caliper            Length         `json:"caliper-mm,omitzero"`               // unknown: pages stay where they are
	Weight             reorder.Weight `json:"weight,omitzero"`                   // unknown; Caliper comes before it
	CreepMeasured      Length         `json:"creep-measured-mm,omitzero"`        // follows from Caliper or Weight
	Trim               Trim           `json:"trim-mm,omitzero"`                  // nothing is cut off
	TrimTo             Dimensions     `json:"trim-to-mm,omitzero"`               // Trim says it
	Wide               reorder.Wide   `json:"wide"`                              // turn
	CutOverhang        bool           `json:"cut-overhang"`                      // refuse what leaves its panel
	KeepClear          Edges          `json:"keep-clear-mm,omitzero"`            // the profile's, else unknown
	Bind               reorder.Bind   `json:"bind"`                              // left
	Copies             int            `json:"copies,omitzero"`                   // one
	OnlyGathering      int            `json:"only-gathering,omitempty"`          // all
	Marks              Marks          `json:"marks"`                             // all, gatherings by letters
	Stations           Lengths        `json:"stations-mm,omitempty"`             // those of the structure
	Structure          string         `json:"structure,omitzero"`                // case, of one gathering pamphlet, of loose leaves stab
	Supports           int            `json:"supports,omitzero"`                 // by the structure's rules
	Units              binding.Units  `json:"units,omitzero"`                    // of figures for the bench: by the paper's name
	NoSideNames        bool           `json:"no-side-names"`                     // side names are printed
	Dummy              bool           `json:"dummy"`                             // pages are printed, not their numbers

	// How sheets become gatherings.
	Fold         reorder.Fold    `json:"fold"`                   // folio
	Cut          int             `json:"cut"`                    // 1
	CutEdge      reorder.CutEdge `json:"cut-edge,omitzero"`      // any
	CutBy        CutBy           `json:"cut-by,omitzero"`        // gathering
	Nest         reorder.Nest    `json:"nest"`                   // inset
	Leaf         reorder.Leaf    `json:"leaf"`                   // as halving the longer dimension has it
	CopiesAcross bool            `json:"copies-across,omitzero"` // one book
	Overlap      Length          `json:"overlap-mm,omitzero"`    // of a concertina 10 mm

	// A book without a source, and blank gatherings in one that has one.
	Blank   int    `json:"blank,omitzero"`      // pages; 0: the book has a source
	Ruling  Ruling `json:"ruling,omitzero"`     // plain
	Spacing Length `json:"spacing-mm,omitzero"` // of lines 7 mm, of squares and dots 5 mm

	Margins Margins `json:"margins-mm,omitzero"` // of ruled pages usualMargins

	BlankGatherings Between `json:"blank-gatherings,omitempty"` // none

	// What is taken of the source.
	Box          Box     `json:"box"`                    // crop, but trim where leaves are trimmed
	Margin       Length  `json:"margin-mm,omitzero"`     // none around the content box
	Split        Split   `json:"split"`                  // none
	SplitAt      SplitAt `json:"split-at,omitzero"`      // the middle
	SplitFirst   First   `json:"split-first,omitzero"`   // by its width
	Pages        Pages   `json:"pages,omitempty"`        // all
	DropPages    Pages   `json:"drop-pages,omitempty"`   // none
	TakeCovers   int     `json:"take-covers,omitzero"`   // pages taken out for the cover, 2 or 4: none
	BlanksBefore int     `json:"blanks-before,omitzero"` // none
	HalfTitles   bool    `json:"half-titles,omitzero"`   // none

	// Running numbers.
	Numbers     reorder.NumberPlace `json:"numbers,omitzero"`       // none
	NumbersFrom int                 `json:"numbers-from,omitzero"`  // the first page is 1
	NumbersSkip Pages               `json:"numbers-skip,omitempty"` // all pages have one

	// The plan of the text block.
	BlanksAfter int         `json:"blanks-after,omitzero"` // none
	Pad         reorder.Pad `json:"pad"`                   // after
	Recto       Starts      `json:"recto,omitzero"`        // pages fall as they come
	Verso       Starts      `json:"verso,omitzero"`        // pages fall as they come
	Volumes     int         `json:"volumes"`               // 1

	// Leaves of other paper.
	Inserts   Inserts   `json:"inserts,omitempty" key:"insert"` // none
	EndLeaves EndLeaves `json:"end-leaves,omitzero"`            // none
	Plates    Plates    `json:"plates,omitzero" key:"-"`        // nobody says so: the job prints leaves for another one
}

// Check refuses options that contradict each other.
func (o Options) Check() error {
	switch {
	case o.ScaleEach && o.Scale.Scale != reorder.ScaleFit:
		return refusal.Use.New("%s needs %s", phrase.Set("scale-each"), phrase.Set("scale", "fit")).Advise("it fits every page by itself")
	case o.Gutter < 0:
		return refusal.Use.New("%s must not be negative", phrase.Set("gutter"))
	case o.Margin != 0 && o.Box != BoxContent:
		return refusal.Use.New("%s needs %s", phrase.Set("margin"), phrase.Set("box", "content")).Advise("it is the space around what is printed; %s is space at the spine", phrase.Set("gutter"))
	case o.Margin < -50 || o.Margin > 100:
		return refusal.Use.New("%s must be between -50 mm and 100 mm", phrase.Set("margin"))
	case o.Trim.Given && o.TrimTo != (Dimensions{}):
		return refusal.Use.New("%s and %s cannot be used together", phrase.Set("trim"), phrase.Set("trim-to")).Advise("%s says what comes off, %s what is left", phrase.Set("trim"), phrase.Set("trim-to"))
	case o.Numbers == 0 && (o.NumbersFrom != 0 || o.NumbersSkip != nil):
		return refusal.Use.New("%s and %s need %s", phrase.Set("numbers-from"), phrase.Set("numbers-skip"), phrase.Set("numbers")).Advise("it says where the numbers stand: outer or centre")
	case (o.SplitAt != SplitAt{} || o.SplitFirst != 0) && o.Split != SplitSpreads:
		return refusal.Use.New("%s and %s need %s", phrase.Set("split-at"), phrase.Set("split-first"), phrase.Set("split", "spreads"))
	}
	return cmp.Or(o.checkNumbers(), o.checkBlank(), o.checkBench(), o.checkForm(), o.checkBlock(), o.checkPaper(), o.checkInserts())
}

// CheckName refuses a path that could not be kept in a plan and found again by it.
func CheckName(path string) error {
	if utf8.ValidString(path) {
		return nil
	}
	return refusal.Use.New("%s: this name is not in UTF-8", path).
		Advise("rename the file or folder; names from an old disk can be in letters that this computer does not show")
}
