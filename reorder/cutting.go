package reorder

// piece is a part of a printed sheet: where it lies on the front.
type piece struct {
	sheet int  // within the gathering, from 1
	front Rect // mm, front view
}

// cutStack cuts a stack of sheets, fronts up and the first sheet on top, into
// pieces and returns these from the top of the resulting stack down, which is
// from the outermost piece of the gathering inwards. Each cut halves the
// longer dimension; the head-end halves are laid on the others, or the
// left-hand halves where the cut is lengthwise.
func cutStack(sheet Size, sheets, pieces int) []piece {
	stack := make([]piece, sheets)
	for i := range stack {
		stack[i] = piece{i + 1, sheet.Rect()}
	}
	for n := 1; n < pieces; n *= 2 {
		var first, second []piece
		for _, p := range stack {
			a, b := halve(p.front)
			first = append(first, piece{p.sheet, a})
			second = append(second, piece{p.sheet, b})
		}
		stack = append(first, second...)
	}
	return stack
}

// halve cuts a rectangle across its longer dimension and names the half
// first that is laid on the other.
func halve(r Rect) (first, second Rect) {
	c := r.Centre()
	if s := r.Size(); s.H >= s.W {
		return Rect{r.X0, c.Y, r.X1, r.Y1}, Rect{r.X0, r.Y0, r.X1, c.Y}
	}
	return Rect{r.X0, r.Y0, c.X, r.Y1}, Rect{c.X, r.Y0, r.X1, r.Y1}
}
