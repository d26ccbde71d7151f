// Package paper is paper made of code, and the hands that cut, fold and open it.
//
// It exists to read the book that printed sheets turn into. Whoever has sheets,
// planned or taken from print files, lays them down here as [Sheet] values with
// marks on them; [ReadBook] cuts, folds and nests them as the binder does, turns
// leaf after leaf and tells what stands on each page. [Check] compares that with
// what the book should hold and names every fault.
//
// Nothing here knows an order of pages. A [Pile] is layers of paper on a table,
// each a rectangle of a sheet and how it lies; folding reflects the layers
// beyond a line and lays them, upside down and in reverse order, on the rest.
// The single steps are methods of Pile, so that a folding described in a
// handbook can be followed step by step ([Pile.UppermostMarks] is what one sees then).
//
// # Frames
//
// A mark stands in the view of its side: millimetres, x to the right, y up,
// origin at the lower left corner of the sheet in feed orientation (short edge
// at the head); the back is seen after turning the sheet about its long edge.
// The table is looked at from above, x to the right, y away from the person, and
// the pile's lower left corner is the origin. A page is looked at as it lies in
// the open book.
//
// Not here: thickness of paper, and so creep; trimming; folds aslant.
package paper
