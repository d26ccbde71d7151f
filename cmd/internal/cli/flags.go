package cli

import (
	"encoding"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/options"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// trying is the heading of what else a command takes that prepares a book.
const trying = "Trying, and where to write"

// addJobFlags are the flags of every command that prepares a book, under the headings of the README.
func addJobFlags(f *pflag.FlagSet, o *options.Options) {
	addUnder(f, "Paper, printer and gatherings", func(f *pflag.FlagSet) { addPaperFlags(f, o) })
	addUnder(f, "Folding and cutting", func(f *pflag.FlagSet) { addFoldFlags(f, o) })
	addUnder(f, "Pages on their leaves", func(f *pflag.FlagSet) { addPlaceFlags(f, o) })
	addUnder(f, "Which pages", func(f *pflag.FlagSet) { addPageFlags(f, o) })
	addUnder(f, "Blank books", func(f *pflag.FlagSet) { addBlankFlags(f, o) })
	addUnder(f, "Plates and end-leaves", func(f *pflag.FlagSet) { addInsertFlags(f, o) })
	addUnder(f, "Marks and the bench", func(f *pflag.FlagSet) { addBenchFlags(f, o) })
	addUnder(f, trying, func(f *pflag.FlagSet) {
		addNumber(f, &o.Copies, "copies", "how many copies of the book to print, one after the other (default: 1)")
		addNumber(f, &o.OnlyGathering, "only-gathering", "print only the gathering of this number, as a trial")
		f.BoolVar(&o.Dummy, "dummy", false, "print large page numbers instead of the pages, to try printing and folding on scrap paper")
	})
}

func addPaperFlags(f *pflag.FlagSet, o *options.Options) {
	addWord(f, &o.Paper, "paper", "PAPER", "the paper that you print on: "+strings.Join(reorder.ShortPaperNames(), " ")+
		", a name such as iso_a4_210x297mm, a size such as 152x229mm or 8.5x11in, or one of 'foldwright papers list' (default: the profile's, else your region's)")
	addWord(f, &o.Printer, "printer", "PROFILE", "your printer's profile, or a YAML file (default: your default printer, else "+profiles.Guess+")")
	addText(f, &o.Run, "run", "RUN", "sheets printed together: book, gathering, or a number of sheets (default: what the profile's tray holds, else book)")
	addNumber(f, &o.Sheets, "sheets", "maximum sheets per gathering (default: about 0.8 mm, 4 sheets of office paper)")
	addNumber(f, &o.Pieces, "pieces", "with --cut: maximum folded pieces per gathering, instead of --sheets; half a sheet can go to one gathering and half to the next")
	addNumber(f, &o.Fewest, "fewest", "minimum sheets per gathering, with --pieces pieces; blank ones are added if need be")
	addText(f, &o.GatheringThickness, "gathering-thickness", "LENGTH", "make gatherings this thick, such as 1.5mm, or between two lengths, 1-1.5mm; needs --caliper or --weight")
	addText(f, &o.Gatherings, "gatherings", "NUMBERS", "the exact gatherings, by their sheets: 4,4,3")
	addNumber(f, &o.Volumes, "volumes", "bind the book in this many volumes (default: 1)")
	addText(f, moreThanZero(&o.Caliper), "caliper", "LENGTH", "the measured thickness of one leaf, such as 0.1mm (default: your paper's); pages of inner leaves are then moved towards the spine")
	addText(f, &o.Weight, "weight", "WEIGHT", "the weight of the paper instead: 80 (g/m2), 20lb-bond, 60lb-text, 65lb-cover, 110lb-index")
	addText(f, moreThanZero(&o.CreepMeasured), "creep-measured", "LENGTH", "how far the innermost leaf of your thickest gathering stands out")
}

func addFoldFlags(f *pflag.FlagSet, o *options.Options) {
	addText(f, &o.Fold, "fold", "FOLD", "folio, quarto, octavo, sixteenmo, duodecimo, loose, pouch or concertina (default: folio)")
	addNumber(f, &o.Cut, "cut", "cut each sheet into 1, 2, 4, 8 or 16 pieces before folding (default: 1)")
	addText(f, &o.CutEdge, "cut-edge", "EDGE", "where the edges end up that you cut by hand: any or tail (default: any)")
	addText(f, &o.CutBy, "cut-by", "STACK", "what you cut as one stack: gathering or run (default: gathering)")
	addText(f, &o.Nest, "nest", "HOW", "inset: fold the sheets of a gathering one by one and lay them into each other; together: fold them as one (default: inset)")
	addText(f, &o.Leaf, "leaf", "SHAPE", "portrait or landscape pages (default: what the fold gives)")
	addText(f, &o.Bind, "bind", "EDGE", "the edge with the spine: left, right or top (default: left)")
	f.BoolVar(&o.CopiesAcross, "copies-across", false, "with --fold loose: print two books side by side, to be cut apart")
	addText(f, moreThanZero(&o.Overlap), "overlap", "LENGTH", "with --fold concertina: how wide its sheets are glued onto each other (default: 10mm)")
}

func addPlaceFlags(f *pflag.FlagSet, o *options.Options) {
	addText(f, &o.Scale, "scale", "SCALE", "fit, none, or a percentage such as 90% (default: fit)")
	f.BoolVar(&o.ScaleEach, "scale-each", false, "fit every page by itself")
	addText(f, &o.Place, "place", "PLACE", "where a page lies on its leaf: at the spine, in the middle, or with classic margins, which are added to its own unless --box content is given (default: spine)")
	addText(f, &o.Margins, "margins", "LENGTHS", "the margins around what is printed on the pages, which is enlarged or reduced to fit: one length, or inner,outer,head,tail, mirrored; of blank pages those of the ruling (there 15,10,15,15mm by default)")
	addText(f, &o.Gutter, "gutter", "LENGTH", "space between the spine and the page")
	addText(f, &o.Trim, "trim", "LENGTHS", "what you will cut off the folded leaves: one length, or head,tail,fore-edge; pages are fitted to what is left")
	addText(f, &o.TrimTo, "trim-to", "SIZE", "the size of the trimmed leaf instead: 152x229mm, 6x9in")
	addText(f, &o.Wide, "wide", "HOW", "landscape pages on portrait leaves: turn or shrink (default: turn)")
	f.BoolVar(&o.CutOverhang, "cut-overhang", false, "cut off what is too large for its leaf, instead of refusing it")
	addText(f, &o.KeepClear, "keep-clear", "LENGTHS", "the edge that your printer cannot reach, one length or head,tail,left,right; you are warned of ink there (default: the profile's)")
	addText(f, &o.Box, "box", "BOX", "what of a page is used: crop (what a viewer shows), trim, media, or content (what is printed on the pages) (default: crop; trim where something is trimmed off)")
	addText(f, &o.Margin, "margin", "LENGTH", "with --box content: space around what is printed")
}

// addBlankFlags are those of a book that is made of no PDF.
func addBlankFlags(f *pflag.FlagSet, o *options.Options) {
	addNumber(f, &o.Blank, "blank", "a blank book of this many pages, without a PDF")
	addText(f, &o.BlankGatherings, "blank-gatherings", "NUMBERS", "lay a blank gathering after these gatherings of a book that has a PDF: 3,6,end; 0 is before the first")
	addText(f, &o.Ruling, "ruling", "RULING", "what is printed on blank pages: plain, lines, grid or dots (default: plain)")
	addText(f, moreThanZero(&o.Spacing), "spacing", "LENGTH", "from line to line, or from dot to dot (default: 7mm for lines, 5mm for grid and dots)")
}

func addPageFlags(f *pflag.FlagSet, o *options.Options) {
	addText(f, &o.Pages, "pages", "PAGES", "use only these pages: 1-12,15,20-")
	addText(f, &o.DropPages, "drop-pages", "PAGES", "leave these pages out: 1,7-9")
	addText(f, &o.Split, "split", "WHAT", "spreads: a page that holds two pages side by side becomes two (default: none)")
	addText(f, &o.SplitAt, "split-at", "PLACE", "where spreads are split, from their left edge: a length, or a percentage such as 48% (default: the middle)")
	addText(f, &o.SplitFirst, "split-first", "HOW", "the first page of spreads: single, double or by-width (default: by-width)")
	addNumber(f, &o.TakeCovers, "take-covers", "take pages out for the cover: 2, the first and the last one of the PDF, or 4, the first two and the last two; the text then begins on a recto")
	addText(f, atLeast(0, &o.BlanksBefore), "blanks-before", "NUMBER", "blank pages before the first page; an odd number turns rectos into versos")
	addText(f, atLeast(0, &o.BlanksAfter), "blanks-after", "NUMBER", "blank pages after the last page")
	addText(f, &o.Pad, "pad", "WHERE", "where the blanks go that fill the last gathering: after, before or split (default: after)")
	addText(f, &o.Recto, "recto", "PAGES", "pages that must be rectos, with a blank before them if need be: 5,23, or outline for the top level of the PDF's outline")
	addText(f, &o.Verso, "verso", "PAGES", "pages that must be versos")
	f.BoolVar(&o.HalfTitles, "half-titles", false, "before each PDF a page with its title")
	addText(f, &o.Numbers, "numbers", "PLACE", "running page numbers at the foot of the pages: outer or centre (default: none)")
	addNumber(f, &o.NumbersFrom, "numbers-from", "the number of the first page (default: 1)")
	addText(f, &o.NumbersSkip, "numbers-skip", "PAGES", "pages that count and bear no number: 1-4")
}

func addInsertFlags(f *pflag.FlagSet, o *options.Options) {
	f.Var(insertValue{&o.Inserts}, "insert", "plates of other paper, once for each kind: after=32,pages=PLATE.pdf, and if need be how=tipped, wrapped or guard, paper=, printer=, caliper=, fold-out=WIDTH or page; after=12+32 lays in one plate at each place")
	addText(f, &o.EndLeaves, "end-leaves", "NUMBER", "folded sheets of other paper at each end of the book, counted in its thickness: 1, and if need be ,how=tipped or sewn, ,paper= ,caliper= ,pages=ENDS.pdf ,printer=")
}

// insertValue collects inserts.
type insertValue struct{ inserts *options.Inserts }

func (v insertValue) String() string {
	if v.inserts == nil {
		return ""
	}
	return v.inserts.String()
}

func (v insertValue) Type() string { return "INSERT" }

func (v insertValue) Set(s string) error {
	var more options.Inserts
	err := more.UnmarshalText([]byte(s))
	if err == nil {
		*v.inserts = append(*v.inserts, more...)
	}
	return err
}

func addBenchFlags(f *pflag.FlagSet, o *options.Options) {
	addText(f, &o.Marks, "marks", "MARKS", "marks on the sheets: none, or some of fold,cut,collation,stations,corners and letter or number (default: all, with letters)")
	f.BoolVar(&o.NoSideNames, "no-side-names", false, "print no sheet numbers along the folds")
	addWord(f, &o.Structure, "structure", "STRUCTURE", "how the book is bound: "+strings.Join(structure.Names(), ", ")+", or a YAML file (default: what suits the book)")
	addNumber(f, &o.Supports, "supports", "the number of cords, tapes or inner holes (default: by the structure and the height of the spine)")
	addText(f, &o.Stations, "stations", "LENGTHS", "where the holes are, measured from the trimmed head: 12,60,105mm (default: the structure's)")
	addText(f, &o.Units, "units", "UNITS", "units of the figures for the bench: mm or in (default: by the paper)")
}

// addProfilesFlag is the flag of every command that knows printers.
func addProfilesFlag(f *pflag.FlagSet, dir *string) {
	addWord(f, dir, "profiles", "DIR", "the folder of your printer profiles (default: "+profiles.Environment+", else your configuration folder)")
}

func addQuietFlag(f *pflag.FlagSet, quiet *bool) {
	f.BoolVar(quiet, "quiet", false, "show no progress and no summary")
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

// addText adds a flag whose values are of a kind, a word in capitals.
func addText(f *pflag.FlagSet, target encoding.TextUnmarshaler, name, kind, usage string) {
	f.Var(&textValue{target: target, kind: kind}, name, usage)
}

// textFunc reads a text by calling itself.
type textFunc func(string) error

// UnmarshalText reads a text.
func (f textFunc) UnmarshalText(text []byte) error { return f(string(text)) }

// addWord adds a flag of a text.
func addWord(f *pflag.FlagSet, target *string, name, kind, usage string) {
	addText(f, textFunc(func(s string) error { *target = s; return nil }), name, kind, usage)
}

// addWords adds a flag that can be given several times.
func addWords(f *pflag.FlagSet, target *[]string, name, kind, usage string) {
	addText(f, textFunc(func(s string) error { *target = append(*target, s); return nil }), name, kind, usage)
}

// addNumber adds a flag of a number from 1; 0 means that nothing was said.
func addNumber(f *pflag.FlagSet, target *int, name, usage string) {
	addText(f, atLeast(1, target), name, "NUMBER", usage)
}

// atLeast reads a whole number from least on.
func atLeast(least int, target *int) textFunc {
	return func(s string) (err error) { *target, err = options.ReadNumber([]byte(s), least); return err }
}

// moreThanZero reads a length.
func moreThanZero(target *options.Length) textFunc {
	return func(s string) (err error) { *target, err = options.ReadPositive([]byte(s)); return err }
}

// dpi is the resolution of pictures.
type dpi float64

// UnmarshalText reads a number of pixels per inch.
func (d *dpi) UnmarshalText(text []byte) error {
	v, err := strconv.ParseFloat(string(text), 64)
	if err != nil || !(v >= 20 && v <= 600) {
		return refusal.Use.New("%q is not a resolution between 20 and 600", text)
	}
	*d = dpi(v)
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
		return refusal.Use.New("%q is not a time: use 90s, 10m or 2h, or none for no limit", text)
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
	addText(f, (*patience)(limit), "page-timeout", "TIME", "give up drawing a page that takes longer: 90s, 2m, or none for no limit (default: 20s)")
}
