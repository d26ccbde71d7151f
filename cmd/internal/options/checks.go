package options

import (
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// checkBlock refuses what contradicts itself in the plan of the text block.
func (o Options) checkBlock() error {
	exact := len(o.Gatherings) > 0
	switch {
	case o.Sheets < 0:
		return refusal.Use.New("--sheets is a number of sheets from 1")
	case o.Fewest < 0:
		return refusal.Use.New("--fewest is a number of sheets from 1")
	case o.Sheets > 0 && exact:
		return refusal.Use.New("--sheets and --gatherings exclude each other").Advise("--gatherings gives the exact sizes, --sheets the most")
	case o.Fewest > 0 && exact:
		return refusal.Use.New("--fewest and --gatherings exclude each other").Advise("--gatherings gives the exact sizes, --fewest the fewest sheets")
	case o.Sheets > 0 && o.Fewest > o.Sheets:
		return refusal.Use.New("--fewest %d is more than --sheets %d", o.Fewest, o.Sheets).Advise("--fewest is the fewest sheets of a gathering, --sheets the most")
	case o.GatheringThickness != (Thickness{}) && (exact || o.Sheets > 0 || o.Fewest > 0):
		return refusal.Use.New("--gathering-thickness excludes --sheets, --fewest and --gatherings").Advise("it works out the number of sheets")
	case o.GatheringThickness != (Thickness{}) && o.Caliper == 0 && o.Weight.GSM == 0:
		return refusal.Use.New("--gathering-thickness needs the paper's thickness").Advise("give it with --caliper, or let it be estimated with --weight")
	case o.BlanksBefore < 0 || o.BlanksBefore > mostBlanks:
		return refusal.Use.New("--blanks-before is a number from 0 to %d", mostBlanks)
	case o.BlanksAfter < 0 || o.BlanksAfter > mostBlanks:
		return refusal.Use.New("--blanks-after is a number from 0 to %d", mostBlanks)
	case o.Volumes < 0:
		return refusal.Use.New("--volumes is a number from 1")
	}
	return nil
}

// checkForm refuses what contradicts itself in how sheets become gatherings;
// what no paper can be folded to is refused by package reorder.
func (o Options) checkForm() error {
	s := o.Fold.Scheme()
	cut := o.Cut > 1
	switch {
	case o.Cut != 0 && o.Cut != 1 && o.Cut != 2 && o.Cut != 4:
		return refusal.Use.New("--cut is 1, 2 or 4, not %d", o.Cut)
	case s.Whole && cut:
		return refusal.Use.New("--fold %s takes no --cut", o.Fold).Advise("folio, quarto, octavo and sixteenmo can be cut first")
	case o.CutEdge != 0 && !cut:
		return refusal.Use.New("--cut-edge goes with --cut 2").Advise("it says where the edges cut by hand come to lie")
	case o.CutBy != 0 && !cut:
		return refusal.Use.New("--cut-by goes with --cut 2 or --cut 4").Advise("it says which sheets are cut as one stack")
	case o.CutBy == CutByRun && o.OnlyGathering > 0:
		return refusal.Use.New("--only-gathering goes with --cut-by gathering").Advise("cut by the run, a sheet holds pieces of several gatherings")
	case o.Nest != 0 && s.Whole:
		return refusal.Use.New("--nest goes with folio, quarto, octavo and sixteenmo, not with --fold %s", o.Fold)
	case o.CopiesAcross && o.Fold != reorder.Loose:
		return refusal.Use.New("--copies-across goes with --fold loose").Advise("it prints two books side by side on single leaves")
	case o.Overlap != 0 && !s.Strip:
		return refusal.Use.New("--overlap goes with --fold concertina").Advise("it is what the sheets of the strip are glued by")
	case s.OneStack && o.sized():
		return refusal.Use.New("--fold %s makes one gathering of all sheets", o.Fold).Advise("leave out --sheets, --fewest, --gatherings and --gathering-thickness")
	case s.Alone && (o.Sheets > 1 || o.Fewest > 1 || o.GatheringThickness != Thickness{}):
		return refusal.Use.New("--fold %s is folded one sheet at a time", o.Fold).Advise("each of its gatherings is one sheet")
	}
	return nil
}

// sized tells whether a person has said how large the gatherings are.
func (o Options) sized() bool {
	return o.Sheets > 0 || o.Fewest > 0 || len(o.Gatherings) > 0 || o.GatheringThickness != Thickness{}
}

// checkTrim refuses what contradicts itself.
func (o Options) checkTrim() error {
	if o.Trim.Given && o.TrimTo != (Dimensions{}) {
		return refusal.Use.New("--trim and --trim-to exclude each other").Advise("--trim says what comes off, --trim-to what is left")
	}
	return nil
}

// checkPaper refuses what no paper is.
func (o Options) checkPaper() error {
	if o.Caliper != 0 && !(o.Caliper >= thinnestLeaf && o.Caliper <= thickestLeaf) {
		return refusal.Use.New("--caliper is the thickness of one leaf, between %g and %g mm", thinnestLeaf, thickestLeaf).Advise("measure 40 leaves under light pressure and divide by 40")
	}
	if o.CreepMeasured < 0 || o.CreepMeasured > 20 {
		return refusal.Use.New("--creep-measured lies between 0 and 20 mm").Advise("fold a gathering of this paper and measure how far its innermost leaf stands out beyond the outermost")
	}
	return nil
}

// checkBench refuses what contradicts itself in how the book is bound.
func (o Options) checkBench() error {
	switch {
	case o.Supports < 0 || o.Supports > 20:
		return refusal.Use.New("--supports lies between 1 and 20, not %d", o.Supports).Advise("it is how many cords, tapes or inner holes there are")
	case o.Supports > 0 && o.Stations != nil:
		return refusal.Use.New("--supports and --stations both say where holes are").Advise("give one of them")
	case o.Fold.Scheme().Strip && (o.Structure != "" || o.Supports > 0 || o.Stations != nil):
		return refusal.Use.New("a concertina is not sewn").Advise("leave out --structure, --supports and --stations")
	}
	return nil
}

// mostBlanks is more than anybody wants before or after a book.
const mostBlanks = 1000

// Leaves between these bounds, in mm, can be folded and sewn.
const (
	thinnestLeaf = 0.02
	thickestLeaf = 1.0
)
