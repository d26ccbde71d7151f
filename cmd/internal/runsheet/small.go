package runsheet

// manyCuts is so many pieces of a sheet that a corner which is not square shows in the last
// of them (common practice, no source).
const manyCuts = 8

var (
	squareCornerStep = text("Hold a set square to the near left corner of the stack. If it is not square, shave the near edge until it is.").
				why("Cuts add up: a slant at the first shows in the last piece.").
				why("Before every cut, knock the stack even into this corner again.")
	smallPieces = text("Small pieces slip: hold them down with a second straightedge, and keep your fingertips off the line of the cut.")
)
