// Package reorder plans how the pages of a linear text stand on printed
// sheets so that the sheets, cut, folded and nested, read 1..n again.
//
// Start with [SizesBetween], which shares the sheets out among gatherings,
// and [Arrange], which puts pages on their panels; then [Placing.Place] says
// how large and where each page stands on its panel, with what is trimmed off
// and how far inner leaves creep out, and [Marking.Marks] which marks stand
// around the pages. The page orders are not
// written down anywhere: from a [Form] follows what the hands do,
// [Form.Handwork], and the orders follow from doing it with numbered sheets.
//
// It is arithmetic on paper. It knows no files, no PDF, no printer and no
// flags; package printer decides in which order and how turned the sides go
// through a printer.
//
// Frames: millimetres; a sheet is in feed orientation, its short edge the
// head, x to the right, y up, origin at the lower left corner of the side
// that is looked at. The back is seen after turning the sheet about its long
// edge, like the page of a book.
package reorder
