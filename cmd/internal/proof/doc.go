// Package proof finds out, before a sheet is printed, whether the files of a
// job make the book.
//
// [Open] takes the print files of a folder as they lie there, prints them on
// the virtual printer of the job's profile, and cuts, folds and nests what comes
// out: then it is known which part of which page of which file every place of
// the book is. [Print.Check] draws these parts and compares each with what the
// source shows, drawn where it should stand. [Print.WriteBook] writes the book
// that would come out as spreads, and [Print.Sheets] are the printed sheets, for
// pictures of them.
//
// What it checks it does not ask: where a page has landed is told by the
// simulators (packages virtual and paper), and what should stand there is worked
// out here from the options. Of plan.json only source, paper, fold, cut, nest,
// binding, the gatherings' sizes, options and profile are read. From package
// reorder come types, and what the hands are told to do with the paper; a test
// keeps it so.
//
// # What is compared
//
// Both pictures are drawn by one engine with the same pixels, so they agree
// to the last bit but for rounding, and a small difference is a fault. Where
// the job puts marks of its own, along folds, on cuts and beyond the trimmed
// leaf, more may be printed than the source has, but nothing may be missing. A
// correction for the printer's registration is undone by the virtual printer,
// which has the errors that the profile tells of.
//
// Pages that look alike cannot be told from each other. Form fields, and annotations
// without an appearance, are drawn by package pdf in both pictures: no two readers draw them alike.
//
// Whether the print files are sound as files is asked of package secondreader.
package proof
