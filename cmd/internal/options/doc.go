// Package options is what a person can choose about a job.
//
// [Options] holds it as it was asked: each field is a value that reads and writes
// its own text, so that flags, worklists and plan.json share it, and a zero field
// was not given. [Options.Check] refuses what contradicts itself;
// [Options.Resolve] fills in the rest from the printer's profile, the region and
// the defaults. What is [Resolved] no longer changes.
package options
