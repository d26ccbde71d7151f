// Package runsheet writes the pages that a person follows at the printer and
// at the bench: what to do, in order, in words for somebody who has never
// done it. There is one for a job, one for a reprint, one for the remainder of a
// run, and start-here for a kit.
//
// It is built in two layers. [Parts], [ReprintParts], [RemainderParts] and [KitParts]
// turn values into parts, stages, notes and steps. A step that hands act on, such as
// [PutBack] with its reload, is a small struct of its own type that carries its
// facts, and its words (Text) and its drawing (drawings.go) come from these facts alone. So
// whoever acts on the values, as the tests do with package virtual, does what a
// reader is told. Everything else is a [Text]: values and functions whose names end in
// Note and Step. [Write] and its like make HTML pages from the same values (page.go).
//
// A page shows only what the tenth book needs: the leads of steps, their lists, and where to
// read on if something is not so. Why and how (Text.More), drawers, and parts that are needed
// only by those who are sent there stand behind taps; package cli's tests count the words.
//
// To add a step, write a function that makes a Text with text, item and why, or, if a test has to act on it,
// a type with its facts and a Text method, and give it its place in a stage. To add a
// trade word, give it a meaning in text.go; the meaning stands behind a tap on the word
// where it first stands.
//
// Not here: what is printed in which order (packages reorder and printer
// decide that) and how the files are written. A Job says what was decided.
package runsheet
