package drawing

import "fmt"

// TrayKind is a kind of tray, seen from the side, by the word that profiles have for it.
type TrayKind struct{ Word string }

func (k TrayKind) says() string {
	return map[string]string{
		"drawer":  "the paper lies inside a drawer",
		"upright": "the paper stands behind the printer",
		"slot":    "the paper lies flat and sticks out",
	}[k.Word]
}

func (k TrayKind) Describe() (title, desc string) {
	return "Tray: " + k.Word, fmt.Sprintf("A printer seen from its side: %s.", k.says())
}

func (k TrayKind) draw(c *canvas) float64 {
	c.box("o", 100, 34, 220, 118)
	c.text("c", point{160, 60}, "printer")
	switch k.Word {
	case "drawer":
		c.box("o", 108, 94, 228, 112)
		c.line("k", point{116, 104}, point{208, 104})
	case "upright":
		c.line("k", point{108, 50}, point{84, 4})
		c.line("", point{104, 58}, point{76, 6})
	case "slot":
		c.line("k", point{30, 104}, point{150, 104})
		c.line("", point{40, 112}, point{100, 112})
	}
	return 126
}

// Printing is how the print gets onto the paper, by the word that profiles have for it.
type Printing struct{ Word string }

func (p Printing) Describe() (title, desc string) {
	title = "Printed by " + p.Word
	if p.Word == "laser" {
		return title, "A sheet comes out of the printer, and warmth rises from it."
	}
	return title, "A sheet comes out of the printer, with drops of ink on it."
}

func (p Printing) draw(c *canvas) float64 {
	c.box("o", 40, 20, 140, 100)
	c.text("c", point{90, 46}, "printer")
	c.line("k", point{140, 80}, point{260, 80})
	for i := range 4 {
		x := 164 + 24*float64(i)
		if p.Word == "laser" {
			c.line("", point{x, 68}, point{x + 5, 60}, point{x - 3, 50}, point{x + 4, 40})
			continue
		}
		c.area("s", point{x, 52}, point{x + 5, 62}, point{x + 3, 68}, point{x - 3, 68}, point{x - 5, 62})
	}
	return 108
}
