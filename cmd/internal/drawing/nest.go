package drawing

import "fmt"

// Nest is folded pieces that are laid into each other's middles, seen from the
// end of their folds. The names are from the outermost inwards.
type Nest struct {
	Names []string
	More  bool // and so on
}

func (n Nest) Title() string { return "Lay into each other" }

func (n Nest) Desc() string {
	out := fmt.Sprintf("Seen from the end: an opened fold lies outermost, %s.", n.Names[0])
	for i, name := range n.Names[1:] {
		out += fmt.Sprintf(" Into its middle, fold into fold, goes %s.", name)
		if i == 0 && len(n.Names) > 2 {
			out = out[:len(out)-1] + ","
			for k, next := range n.Names[2:] {
				out += fmt.Sprintf(" then %s", next)
				if k < len(n.Names)-3 {
					out += ","
				}
			}
			out += "."
			break
		}
	}
	if n.More {
		out += " And so on."
	}
	return out
}

func (n Nest) draw(c *canvas) float64 {
	const step, rise, half = 26.0, 42.0, 62.0
	middle := 72.0
	base := 10 + rise + step*float64(len(n.Names)-1)
	for i, name := range n.Names {
		y := base - step*float64(i)
		c.line("f", point{middle - half, y - rise}, point{middle - 6, y - 3}, point{middle, y}, point{middle + 6, y - 3}, point{middle + half, y - rise})
		if i > 0 {
			c.arrow("", point{middle, y + 4}, point{middle, y + 15})
		}
		if i == 0 {
			name += ", outermost"
		}
		c.text("", point{middle + half + 8, y - rise + 8}, name)
	}
	if n.More {
		c.text("", point{middle - 14, base - step*float64(len(n.Names)-1) - 14}, "...")
	}
	return captions(c, base, "seen from the end of the folds")
}
