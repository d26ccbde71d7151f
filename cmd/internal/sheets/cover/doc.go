// Package cover draws covers at exact size: a card cover, a cloth or paper cover for the boards of a case, a
// jacket, and labels.
//
// Start with [Lay], which works out a [Flat]: the cover as it is cut, outside up, its panels with their
// places in mm. [Flat.Sides] puts it on sheets of paper, with its text and pictures, marks to cut and fold
// by, and a rule to check the print by; where it is larger than the paper, in parts to be glued together.
//
// It measures nothing: thickness, boards and joints come from package binding. Lengths are mm; a flat's origin
// is its lower left corner, y up, its spine upright. Of a book with its spine at the top everything is turned
// by a quarter, so that it is read with the spine at the top.
package cover
