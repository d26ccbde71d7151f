// Package virtual is a printer made of code, and the person who stands at it.
//
// It exists to try print files on: whoever works out files for a printer's
// facts feeds them to a virtual printer of the same facts and looks at the
// stack that comes out. It therefore knows nothing of how such files are
// worked out. It moves sheets: takes one from the tray, prints a face of it,
// turns it as the printer's insides do and lays it on the others.
//
// Start with [New] and [Printer.Make]; the single steps are [Blank],
// [Printer.Print], [Reload], [Printer.PrintBoth] and [Finish]. [All] lists
// every set of facts that a printer can have.
//
// # Frames
//
// A sheet is a rigid body that lies in a tray as a person looks down on it: x
// to the right, y away from the person, z up, the short edges at the near and
// the far end. A print stays where it was made, in the body's own frame. A
// printer lays the head of every image at the far end of its tray, whichever
// face it prints; which end it really is makes no difference, because only the
// ends of two printings are ever compared.
//
// What an image is, is the caller's affair: the type parameter I may be a page
// number, the index of a page of a PDF or a list of marks. [Seen.Place] and
// [Seen.Direction] carry what an image holds into the view of the sheet's side.
//
// A printer of its own accord prints where it should and, if it would print a
// face twice, stops with [ErrOverprint]. [Printer.WithErrors] makes one that
// shifts, stretches and wanders, [Printer.WithOverprinting] one that prints on.
//
// Not here: more than one tray, sheets fed crookedly in the first pass.
package virtual
