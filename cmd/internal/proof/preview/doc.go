// Package preview draws the sheets of a job as they come out of the printer.
//
// Start with [Folder], which writes a PNG file for each side of each sheet, or
// with [Page], which writes one HTML page that holds them all. What lies on a
// sheet is told by package proof, which prints the files as they lie; each side
// is shown as it is looked at, the back after turning the sheet about its long
// edge, like the page of a book.
package preview
