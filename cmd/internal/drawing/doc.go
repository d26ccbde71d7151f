// Package drawing draws paper as it lies before a person: stacks in a tray, in
// a delivery and on the table, how they are turned, sheets with their pages,
// and what hands do with them. It writes line art as SVG, black on white.
//
// A [Drawing] is a value that carries what is to be seen, such as a [Move] with
// its stack; its lines and its words for those who do not see it
// both follow from that value. So whoever acts on the values, as tests do, acts
// on the picture. Nothing is placed by hand for one printer or one fold.
//
// Start with [Append], which writes one drawing as SVG, and [Style], which its page
// has to hold once, or with [OnPage], which draws it on a page of a PDF. To add a drawing, give it a type with its facts and the
// two methods of Drawing.
//
// Things are drawn in space, x to the right, y away from the person, z up, and
// seen obliquely from the person's place. Sides are told apart without colour: a
// blank one is plain, on a front the lines run from side to side, on a back from the near
// to the far end, and each bears its word.
//
// Not here: what lies where. Package runsheet says that from the plan.
package drawing
