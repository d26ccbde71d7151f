package cli

import (
	"encoding"
	"errors"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/options"
	"foldwright/profiles"
	"foldwright/reorder/refusal"
)

// addJobFlags are the flags of every command that prepares a book.
func addJobFlags(f *pflag.FlagSet, o *options.Options) {
	f.StringVar(&o.Paper, "paper", "", "a3 a4 a5 a6 iso-b5 jis-b5 letter half-letter legal ledger executive, a PWG name, or WxHmm, WxHin (default the profile's, else the region's)")
	number(f, &o.Sheets, "sheets", "at most so many printed sheets per gathering (default what makes it about 0.8 mm thick, 4 of office paper)")
	number(f, &o.Fewest, "fewest", "at least so many printed sheets per gathering; blank ones are added if need be")
	text(f, &o.GatheringThickness, "gathering-thickness", "LENGTH", "sheets per gathering from its thickness, 1.5mm or 1-1.5mm; needs --caliper or --weight")
	text(f, &o.Gatherings, "gatherings", "SIZES", "exactly these gatherings, by their sheets: 4,4,3")
	f.StringVar(&o.Printer, "printer", "", "name of a printer profile, or a YAML file (default your default printer, else "+profiles.Guess+", a guess)")
	text(f, &o.Run, "run", "RUN", "sheets printed together: book, gathering or a number of sheets (default the profile's tray, else book)")
	text(f, &o.Scale, "scale", "SCALE", "fit, none or NN% (default fit)")
	f.BoolVar(&o.ScaleEach, "scale-each", false, "fit every page by itself")
	text(f, &o.Place, "place", "PLACE", "where a page stands on its leaf: fold (against it), centre or classic (default fold)")
	text(f, &o.Gutter, "gutter", "LENGTH", "room between the fold and the page")
	text(f, &o.Trim, "trim", "LENGTH", "cut off the folded leaves: one length, or head,tail,fore-edge; pages are fitted to what is left")
	text(f, &o.TrimTo, "trim-to", "SIZE", "width and height of the trimmed leaf instead: 152x229mm, 6x9in")
	text(f, moreThanZero{&o.Caliper}, "caliper", "LENGTH", "measured thickness of one leaf, 0.1mm: pages of inner leaves are moved towards the spine")
	text(f, &o.Weight, "weight", "WEIGHT", "weight of the paper instead: 80 (g/m2), 20lb-bond, 60lb-text, 65lb-cover, 110lb-index")
	text(f, moreThanZero{&o.CreepMeasured}, "creep-measured", "LENGTH", "how far the innermost leaf of the thickest gathering was seen to stand out")
	text(f, &o.Landscape, "landscape", "HOW", "what happens to pages wider than high: turn or shrink (default turn)")
	f.BoolVar(&o.Clip, "clip", false, "cut off what leaves its place instead of refusing it")
	text(f, &o.KeepClear, "keep-clear", "LENGTH", "edge that the printer cannot reach, or head,tail,left,right: warns about ink (default the profile's)")
	text(f, &o.Bind, "bind", "EDGE", "edge of the book with the spine: left, right or top (default left)")
	text(f, &o.Fold, "fold", "FOLD", "folio, quarto, octavo, sixteenmo, duodecimo, loose, pouch or concertina (default folio)")
	number(f, &o.Cut, "cut", "pieces that a printed sheet is cut into before folding: 1, 2 or 4 (default 1)")
	text(f, &o.CutEdge, "cut-edge", "EDGE", "where the edges cut by hand come to lie: any or tail (default any)")
	text(f, &o.CutBy, "cut-by", "STACK", "what is cut as one stack: gathering or run (default gathering)")
	text(f, &o.Nest, "nest", "HOW", "sheets of a gathering are folded one by one and inset, or folded together (default inset)")
	text(f, &o.Leaf, "leaf", "LEAF", "portrait or landscape pages: the cut or fold on the other axis (default what the fold gives)")
	f.BoolVar(&o.CopiesAcross, "copies-across", false, "loose leaves: print two books side by side, to be cut apart")
	text(f, moreThanZero{&o.Overlap}, "overlap", "LENGTH", "concertina: what its sheets are glued by (default 10mm)")
	text(f, &o.Box, "box", "BOX", "what of a page is placed: crop (what a viewer shows), trim, media, or content, what is printed on the pages (default crop; trim where something is trimmed off)")
	text(f, &o.Margin, "margin", "LENGTH", "with --box content: room around what is printed")
	text(f, &o.Split, "split", "WHAT", "spreads: a page that holds two pages side by side becomes two (default none)")
	text(f, &o.SplitAt, "split-at", "PLACE", "where spreads are split, from their left edge: a length or NN% (default the middle)")
	text(f, &o.SplitFirst, "split-first", "HOW", "the first page of spreads: single, double or by-width (default by-width)")
	text(f, &o.Pages, "pages", "PAGES", "only these source pages: 1-12,15,20-")
	text(f, &o.DropPages, "drop-pages", "PAGES", "leave these source pages out: 1,7-9")
	f.IntVar(&o.BlanksBefore, "blanks-before", 0, "blank pages before the first page; an odd number turns rectos into versos")
	f.IntVar(&o.BlanksAfter, "blanks-after", 0, "so many blank pages after the last page")
	text(f, &o.Pad, "pad", "WHERE", "where the blanks stand that fill the last gathering: after, before or split (default after)")
	text(f, &o.Recto, "recto", "PAGES", "pages that open on a recto, with a blank before them if need be: 5,23, or outline for its top level")
	text(f, &o.Verso, "verso", "PAGES", "pages that shall be versos")
	number(f, &o.Volumes, "volumes", "bind the book in so many volumes (default 1)")
	number(f, &o.OnlyGathering, "only-gathering", "print only the gathering of this number, as a trial")
	f.BoolVar(&o.Dummy, "dummy", false, "large page numbers instead of the pages, to try printing and folding on scrap paper")
	text(f, &o.Marks, "marks", "MARKS", "marks on the sheets: none, or some of fold,cut,collation,stations,corners and letter or number (default all, letter)")
	f.StringVar(&o.Structure, "structure", "", "how the book is bound, for stations and figures: "+strings.Join(structure.Names(), ", ")+", or a YAML file (default by what the book is)")
	number(f, &o.Supports, "supports", "so many cords, tapes or inner holes (default by the structure and the height of the back)")
	text(f, &o.Stations, "stations", "LENGTHS", "holes in the fold, measured from the trimmed head: 12,60,105mm (default the structure's)")
	text(f, &o.Units, "units", "UNITS", "of figures for the bench: mm or in (default by the paper's name)")
	f.BoolVar(&o.NoSideNames, "no-side-names", false, "print no sheet numbers along the folds")
}

// textValue makes a flag of anything that reads text.
type textValue struct {
	target encoding.TextUnmarshaler
	kind   string
	shown  string
}

func (v *textValue) String() string { return v.shown }
func (v *textValue) Type() string   { return v.kind }
func (v *textValue) Set(s string) error {
	v.shown = s
	return v.target.UnmarshalText([]byte(s))
}

func text(f *pflag.FlagSet, target encoding.TextUnmarshaler, name, kind, usage string) {
	f.Var(&textValue{target: target, kind: kind}, name, usage)
}

// number makes a flag of a number from 1; 0 means that nothing was said.
func number(f *pflag.FlagSet, target *int, name, usage string) {
	text(f, fromOne{target}, name, "NUMBER", usage)
}

type fromOne struct{ target *int }

// UnmarshalText reads a whole number.
func (v fromOne) UnmarshalText(text []byte) error {
	n, err := strconv.Atoi(string(text))
	switch {
	case errors.Is(err, strconv.ErrRange):
		return refusal.Use.New("%q is out of range", text)
	case err != nil:
		return refusal.Use.New("%q is no whole number", text)
	case n < 1:
		return refusal.Use.New("%q must be greater than 0", text)
	}
	*v.target = n
	return nil
}

// moreThanZero is the same for a length.
type moreThanZero struct{ *options.Length }

// UnmarshalText reads a length.
func (v moreThanZero) UnmarshalText(text []byte) error {
	var l options.Length
	if err := l.UnmarshalText(text); err != nil {
		return err
	}
	if l <= 0 {
		return refusal.Use.New("%q must be greater than 0", text)
	}
	*v.Length = l
	return nil
}

// patience is how long something may take; 0: as long as it likes.
type patience time.Duration

const noLimit = "none"

// UnmarshalText reads a duration such as 90s, 10m or 1h30m, or none.
func (p *patience) UnmarshalText(text []byte) error {
	if string(text) == noLimit {
		*p = 0
		return nil
	}
	d, err := time.ParseDuration(string(text))
	if err != nil || d <= 0 {
		return refusal.Use.New("%q is no time, write such as 90s, 10m or 2h, or none for no limit", text)
	}
	*p = patience(d)
	return nil
}

// usualTitleTime is more than four seconds for each page of a book of 10,000,
// which is prepared and proved in less on any machine; what takes longer hangs.
const usualTitleTime = 12 * time.Hour

// usualPageTime is a hundred times what a page of a book takes on a machine that
// has other work as well.
const usualPageTime = 20 * time.Second

func addPageTimeoutFlag(f *pflag.FlagSet, limit *time.Duration) {
	*limit = usualPageTime
	text(f, (*patience)(limit), "page-timeout", "TIME", "give up drawing a page that takes longer, such as 90s or 2m, or none (default 20s)")
}
