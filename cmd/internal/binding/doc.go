// Package binding is the arithmetic of the bench: what a binder cuts, pierces
// and sews once the sheets are printed, worked out from the text block and
// from the rules of a structure.
//
// Start with [Measure]. It takes a [Book], which is what is known of the text
// block, a [Structure], which is the rules of a way of binding, and [Measured],
// which is what a person has found with ruler and calliper and which replaces
// the estimates. It returns a [Sheet] of figures, written in its units. Each [Figure] says
// what it was worked out from; an estimate is a [Range], and stays one.
//
// All lengths are millimetres. Leaves stand with their spine at the side, so
// heights are along the spine. The package draws nothing and reads no files:
// structures are read by package structure, drawn by package benchsheet.
package binding
