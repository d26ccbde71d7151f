// Package output writes what a draft decides: the folder of a job, sheets of it
// printed again, what is left of a run, and kits for printers that nobody has seen.
//
// Start with [Job]: a draft on its way into a folder. [Job.Write] writes it all;
// [Job.Reprint], [Job.Remainder] and [Job.Kit] plan what else can be made of it.
// Each side of a sheet is put together in sides.go, and the value that the run
// sheet is written from in runsheet.go. Nothing is decided here that concerns the
// book: that is done in package plan.
package output
