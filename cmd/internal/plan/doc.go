// Package plan decides everything about a job and writes nothing.
//
// [New] makes a [Draft] of resolved options and a source: which sheets there are,
// what stands on them, the runs and their passes, what is measured before sewing,
// and what there is to warn about. A draft is complete and no longer changes.
// [Plan] is what plan.json holds of it; [Read] reads and checks one, and [Redraft]
// makes the draft again from it and the source.
//
// The arithmetic is in packages reorder and printer. Pages are numbered here as
// package survey numbers them; messages count them as the source does.
package plan
