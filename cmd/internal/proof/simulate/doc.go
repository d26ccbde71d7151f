// Package simulate prints a job or the test sheet on a printer made of code
// and tells what would lie in the hand, so that a profile can be understood
// without paper.
//
// A [Task] is what is printed: [OfJob] takes it from a job's plan, [OfTest]
// from the test sheet. [Print] puts it through a virtual printer and keeps, for
// every run, how the stack lies after each step, as a [Stage], and what is wrong
// with the finished stack. [Outcome.Text] tells it in words, [Outcome.Picture]
// draws it.
//
// The printer is that of package printer/virtual, which knows nothing of how
// files are planned. What is on the pages of a job's files is taken from its
// plan; the files themselves are not read.
package simulate
