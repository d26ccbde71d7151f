// Package runsheet writes the page that a person follows at the printer and
// at the bench: what to do, in order, in words for somebody who has never
// done it.
//
// It is built in two layers. [Parts] turns a [Job] into values: parts, stages,
// notes and steps. A [Step] is a small struct of its own type that carries the
// facts of one thing to do, such as [PutBack] with its reload, and its words
// come from its method Text, from those facts alone. So whoever acts on the
// values, as the tests do with package virtual, does what a reader is told. [Write] makes
// the HTML page from the same values.
//
// Start with [Write], or with [Steps] to act on the steps. To add a step,
// give it a type with its facts, a Text method and its place in a stage. To
// add a trade word, give it a meaning in terms.go; the meaning is printed
// where the word first stands.
//
// Not here: what is printed in which order (packages reorder and printer
// decide that) and how the files are written. A Job says what was decided.
package runsheet
