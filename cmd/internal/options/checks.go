package options

import (
	"math"

	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// More than anybody wants.
const (
	mostBlanks     = 1000 // before or after a book
	mostBlankPages = 5000 // bound in one book
	mostPieces     = 1000 // in a gathering
	mostCopies     = 500
	mostNumber     = 99_999 // of the first page of a volume
)

// checkNumbers refuses numbers that no book has; 0 says that one was not given.
func (o Options) checkNumbers() error {
	for _, n := range []struct {
		key         string
		given, most int
	}{
		{"sheets", o.Sheets, math.MaxInt}, {"pieces", o.Pieces, mostPieces}, {"fewest", o.Fewest, math.MaxInt}, {"volumes", o.Volumes, math.MaxInt},
		{"copies", o.Copies, mostCopies}, {"blank", o.Blank, mostBlankPages}, {"only-gathering", o.OnlyGathering, math.MaxInt}, {"supports", o.Supports, 20},
		{"numbers-from", o.NumbersFrom, mostNumber}, {"blanks-before", o.BlanksBefore, mostBlanks}, {"blanks-after", o.BlanksAfter, mostBlanks},
	} {
		switch set := phrase.Set(n.key, n.given); {
		case n.given < 0:
			return refusal.Use.New("%s must not be negative", set)
		case n.given > n.most:
			return refusal.Use.New("%s is too much: at most %d", set, n.most)
		}
	}
	return nil
}

// checkBlock refuses what contradicts itself in the plan of the text block.
func (o Options) checkBlock() error {
	exact := len(o.Gatherings) > 0
	switch {
	case o.TakeCovers != 0 && o.TakeCovers != 2 && o.TakeCovers != 4:
		return refusal.Use.New("%s is 2 or 4, not %d", phrase.Set("take-covers"), o.TakeCovers).Advise("2 takes the first and the last page of the PDF, 4 the first two and the last two")
	case o.TakeCovers != 0 && o.Split == SplitSpreads:
		return refusal.Use.New("%s cannot be used with %s", phrase.Set("take-covers"), phrase.Set("split", "spreads")).Advise("leave the pages of the cover out with %s", phrase.Set("drop-pages"))
	case o.Sheets > 0 && exact:
		return refusal.Use.New("%s and %s cannot be used together", phrase.Set("sheets"), phrase.Set("gatherings")).Advise("%s gives the exact sizes, %s the most", phrase.Set("gatherings"), phrase.Set("sheets"))
	case o.Fewest > 0 && exact:
		return refusal.Use.New("%s and %s cannot be used together", phrase.Set("fewest"), phrase.Set("gatherings")).Advise("%s gives the exact sizes, %s the fewest sheets", phrase.Set("gatherings"), phrase.Set("fewest"))
	case o.Sheets > 0 && o.Fewest > o.Sheets:
		return refusal.Use.New("%s is more than %s", phrase.Set("fewest", o.Fewest), phrase.Set("sheets", o.Sheets)).Advise("%s is the fewest sheets of a gathering, %s the most", phrase.Set("fewest"), phrase.Set("sheets"))
	case o.Pieces > 0 && (exact || o.Sheets > 0):
		with := phrase.Set("gatherings", o.Gatherings)
		if !exact {
			with = phrase.Set("sheets", o.Sheets)
		}
		return refusal.Use.New("%s and %s cannot be used together", phrase.Set("pieces", o.Pieces), with).Advise("the one counts folded pieces, the other printed sheets")
	case o.Pieces > 0 && o.Fewest > o.Pieces:
		return refusal.Use.New("%s is more than %s", phrase.Set("fewest", o.Fewest), phrase.Set("pieces", o.Pieces)).Advise("%s is the fewest pieces of a gathering, %s the most", phrase.Set("fewest"), phrase.Set("pieces"))
	case o.GatheringThickness != (Thickness{}) && (exact || o.Sheets > 0 || o.Pieces > 0 || o.Fewest > 0):
		return refusal.Use.New("%s cannot be used together with %s, %s, %s or %s", phrase.Set("gathering-thickness"), phrase.Set("sheets"), phrase.Set("pieces"), phrase.Set("fewest"), phrase.Set("gatherings")).Advise("it works out the number of sheets")
	case o.GatheringThickness != (Thickness{}) && o.Caliper == 0 && o.Weight.GSM == 0:
		return refusal.Use.New("%s needs the paper's thickness", phrase.Set("gathering-thickness")).Advise("give it with %s, or let it be estimated with %s", phrase.Set("caliper"), phrase.Set("weight"))
	}
	return nil
}

// checkForm refuses what contradicts itself in how sheets become gatherings;
// what no paper can be folded to is refused by package reorder.
func (o Options) checkForm() error {
	s := o.Fold.Scheme()
	cut := o.Cut > 1
	switch {
	case o.Cut < 0 || o.Cut > reorder.MostPieces || o.Cut&(o.Cut-1) != 0:
		return refusal.Use.New("%s is 1, 2, 4, 8 or 16, not %d", phrase.Set("cut"), o.Cut)
	case s.Whole && cut:
		return refusal.Use.New("%s cannot be used with %s", phrase.Set("fold", o.Fold), phrase.Set("cut")).Advise("folio, quarto, octavo and sixteenmo can be cut first")
	case o.CutEdge != 0 && !cut:
		return refusal.Use.New("%s needs %s", phrase.Set("cut-edge"), phrase.Set("cut", 2)).Advise("it says where the edges end up that you cut by hand")
	case o.CutBy != 0 && !cut:
		return refusal.Use.New("%s needs %s or %s", phrase.Set("cut-by"), phrase.Set("cut", 2), phrase.Set("cut", 4)).Advise("it says which sheets you cut as one stack")
	case o.Pieces > 0 && s.OneStack:
		return refusal.Use.New("%s makes one gathering of all sheets", phrase.Set("fold", o.Fold)).Advise("leave out %s", phrase.Set("pieces"))
	case o.Pieces > 0 && !cut:
		return refusal.Use.New("%s needs %s", phrase.Set("pieces", o.Pieces), phrase.Set("cut", 2)).Advise("it counts the pieces that a cut sheet makes; of whole sheets use %s", phrase.Set("sheets"))
	case o.CutBy == CutByRun && o.Copies > 1:
		return refusal.Use.New("%s needs %s", phrase.Set("copies"), phrase.Set("cut-by", "gathering")).Advise("cut by the run, a stack could hold sheets of two books")
	case o.CopiesAcross && o.Copies > 1:
		return refusal.Use.New("%s and %s cannot be used together", phrase.Set("copies"), phrase.Set("copies-across")).Advise("print the files several times instead")
	case o.CutBy == CutByRun && o.OnlyGathering > 0:
		return refusal.Use.New("%s needs %s", phrase.Set("only-gathering"), phrase.Set("cut-by", "gathering")).Advise("cut by the run, a sheet holds pieces of several gatherings")
	case o.Nest != 0 && s.Whole:
		return refusal.Use.New("%s needs folio, quarto, octavo or sixteenmo, not %s", phrase.Set("nest"), phrase.Set("fold", o.Fold))
	case o.CopiesAcross && o.Fold != reorder.Loose:
		return refusal.Use.New("%s needs %s", phrase.Set("copies-across"), phrase.Set("fold", "loose")).Advise("it prints two books side by side on single leaves")
	case o.Overlap != 0 && !s.Strip:
		return refusal.Use.New("%s needs %s", phrase.Set("overlap"), phrase.Set("fold", "concertina")).Advise("it is how wide the sheets of the strip are glued onto each other")
	case s.OneStack && o.saysSizes():
		return refusal.Use.New("%s makes one gathering of all sheets", phrase.Set("fold", o.Fold)).Advise("leave out %s, %s, %s and %s", phrase.Set("sheets"), phrase.Set("fewest"), phrase.Set("gatherings"), phrase.Set("gathering-thickness"))
	case s.Alone && (o.Sheets > 1 || o.Fewest > 1 || o.GatheringThickness != Thickness{}):
		return refusal.Use.New("%s is folded one sheet at a time", phrase.Set("fold", o.Fold)).Advise("each of its gatherings is one sheet")
	}
	return nil
}

// saysSizes tells whether a person has said how large the gatherings are.
func (o Options) saysSizes() bool {
	return o.Sheets > 0 || o.Pieces > 0 || o.Fewest > 0 || len(o.Gatherings) > 0 || o.GatheringThickness != Thickness{}
}

// OfSources are the keys of options that a blank book does not have.
var OfSources = []string{"pages", "drop-pages", "split", "split-at", "split-first", "recto", "verso", "half-titles", "take-covers", "box", "margin", "scale", "scale-each", "place", "gutter", "wide", "cut-overhang", "blank-gatherings"}

// checkBlank refuses what contradicts itself in blank pages, and what a book without a source does not have.
func (o Options) checkBlank() error {
	plain := o.Ruling == 0 || o.Ruling == RulingPlain
	switch between := len(o.BlankGatherings) > 0; {
	case o.Blank == 0 && !between && (o.Ruling != 0 || o.Spacing != 0):
		return refusal.Use.New("%s and %s need %s or %s", phrase.Set("ruling"), phrase.Set("spacing"), phrase.Set("blank"), phrase.Set("blank-gatherings")).
			Advise("the one says how many pages a blank book has, the other where blank gatherings lie in a book")
	case o.Blank > 0 && between:
		return refusal.Use.New("%s is for a book that has a PDF: a blank book is blank already", phrase.Set("blank-gatherings", o.BlankGatherings)).
			Advise("%s says how many pages it has", phrase.Set("blank"))
	case between && o.Fold.Scheme().OneStack:
		return refusal.Use.New("%s: %s makes one gathering of all sheets, so none can lie between two", phrase.Set("blank-gatherings", o.BlankGatherings), phrase.Set("fold", o.Fold)).
			Advise("%s adds blank pages at the end", phrase.Set("blanks-after"))
	case between && o.OnlyGathering > 0:
		return refusal.Use.New("%s and %s cannot be used together", phrase.Set("only-gathering"), phrase.Set("blank-gatherings")).Advise("try the gathering without the blank ones: its pages are the same")
	case o.Spacing != 0 && plain:
		return refusal.Use.New("%s needs %s", phrase.Set("spacing"), phrase.Set("ruling", RulingLines)).Advise("or %s, or %s", phrase.Set("ruling", RulingGrid), phrase.Set("ruling", RulingDots))
	case o.Spacing != 0 && (o.Spacing < 1 || o.Spacing > 100):
		return refusal.Use.New("%s must be between 1 mm and 100 mm", phrase.Set("spacing"))
	case o.Blank == 0:
		return o.checkMargins()
	}
	for _, key := range OfSources {
		if o.Value(key) != "" {
			return refusal.Use.New("%s is for a book that has a PDF, and %s has none", phrase.Set(key), phrase.Set("blank", o.Blank)).Advise("its pages are made to fit the leaf")
		}
	}
	if plain && o.Margins.Given {
		return refusal.Use.New("%s needs %s", phrase.Set("margins"), phrase.Set("ruling", RulingLines)).Advise("or %s, or %s", phrase.Set("ruling", RulingGrid), phrase.Set("ruling", RulingDots))
	}
	return nil
}

// checkMargins refuses what says otherwise than margins where the pages stand.
func (o Options) checkMargins() error {
	if !o.Margins.Given {
		return nil
	}
	if o.Box != 0 && o.Box != BoxContent {
		return refusal.Use.New("%s and %s cannot be used together", phrase.Set("margins"), phrase.Set("box", o.Box)).Advise("margins are measured from what is printed on the pages")
	}
	for _, key := range []string{"margin", "place", "gutter", "scale-each"} {
		if o.Value(key) != "" {
			return refusal.Use.New("%s and %s cannot be used together", phrase.Set("margins"), phrase.Set(key)).Advise("margins say where the text stands on its leaf, and how large")
		}
	}
	return nil
}

// checkPaper refuses what no paper is.
func (o Options) checkPaper() error {
	if err := checkCaliper(o.Caliper); err != nil {
		return err
	}
	if o.CreepMeasured < 0 || o.CreepMeasured > 20 {
		return refusal.Use.New("%s must be between 0 and 20 mm", phrase.Set("creep-measured")).Advise("fold a gathering of this paper and measure how far its innermost leaf stands out beyond the outermost")
	}
	return nil
}

// checkBench refuses what contradicts itself in how the book is bound.
func (o Options) checkBench() error {
	switch {
	case o.Supports > 0 && o.Stations != nil:
		return refusal.Use.New("%s and %s both say where holes are", phrase.Set("supports"), phrase.Set("stations")).Advise("give only one of them")
	case o.Fold.Scheme().Strip && (o.Structure != "" || o.Supports > 0 || o.Stations != nil):
		return refusal.Use.New("a concertina is not sewn").Advise("leave out %s, %s and %s", phrase.Set("structure"), phrase.Set("supports"), phrase.Set("stations"))
	}
	return nil
}

// checkInserts refuses what goes with no leaves of other paper.
func (o Options) checkInserts() error {
	if len(o.Inserts) == 0 && o.EndLeaves.Sheets == 0 {
		return nil
	}
	key := "insert"
	if len(o.Inserts) == 0 {
		key = "end-leaves"
	}
	if o.Fold == reorder.Concertina || o.CopiesAcross {
		return refusal.Use.New("%s is for books whose leaves are sewn or glued at the spine", phrase.Set(key))
	}
	return nil
}

// checkCaliper refuses what is no thickness of a leaf.
func checkCaliper(l Length) error {
	if l != 0 && !(l >= profiles.ThinnestLeaf && l <= profiles.ThickestLeaf) {
		return refusal.Use.New("%s must be the thickness of one leaf, between %g and %g mm", phrase.Set("caliper"), profiles.ThinnestLeaf, profiles.ThickestLeaf).Advise("measure 40 leaves under light pressure and divide by 40")
	}
	return nil
}
