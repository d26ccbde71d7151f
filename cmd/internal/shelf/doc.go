// Package shelf prepares a shelf of titles in processes of their own.
//
// A [Shelf] comes from a worklist ([ReadWorklist]) or from a folder
// ([FindTitles]); [Run] works it off and returns a [Report]. [Serve] is the
// other end: what the process does that is started for titles; a [Maker] makes them.
//
// # What is done again and what is not
//
// A title's folder is what would be written again if its plan names the same
// bytes of the source and the same [options.Request], and if all its files are
// there: then no process is started. A failure is kept in the report with the
// same two marks and counts again while they are unchanged, if what failed
// follows from them; a full disk does not, nor a process that somebody killed.
// The folders themselves are made by package publish: complete or absent, and
// locked while they are written, so that two runs that meet on a title don't
// harm each other. The second waits, and then finds the title complete.
//
// # What a title can cost
//
// Nothing but itself. Its process, which makes the next title only if it made this one, is ended when it
// takes too long, when the process that started it ends, however that ends, and when it grows beyond the
// title's share of the memory. Then the title is tried once more, alone, with all of it.
//
// The package knows no flags: a title's options are settings with the keys of package options.
package shelf
