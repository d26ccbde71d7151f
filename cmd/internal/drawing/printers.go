package drawing

import (
	"fmt"

	"foldwright/printer"
)

// ActualSize is a page on its paper: as large as it, or made smaller.
type ActualSize struct{ Full bool }

func (a ActualSize) Describe() (title, desc string) {
	if a.Full {
		return "Printed at actual size", "The print fills the paper as in the file: 100 percent."
	}
	return "Fitted to the paper", "The print is smaller than in the file, with a rim all around it."
}

func (a ActualSize) draw(c *canvas) float64 {
	h := held{corner: point{102, 6}, wide: 96, high: 124}
	h.drawOutline(c)
	rim, text := 0.03, "100 percent"
	if !a.Full {
		rim, text = 0.13, "less"
	}
	c.drawArea("d", h.at(rim, rim), h.at(1-rim, rim), h.at(1-rim, 1-rim), h.at(rim, 1-rim))
	h.write(c, "c", 0.5, 0.5, text)
	return 136
}

// Way is how a printer prints both sides, seen from the side.
type Way struct{ Is printer.TwoSided }

func (w Way) Describe() (title, desc string) {
	if w.Is == printer.Automatic {
		return "The printer turns the paper itself",
			"The paper goes into the printer, is turned over inside, and comes out printed on both sides."
	}
	return "You put the paper back",
		"The paper comes out printed on one side, and a hand takes it from the delivery back into the tray."
}

func (w Way) draw(c *canvas) float64 {
	c.drawBox("o", 92, 14, 208, 104)
	c.writeText("", point{98, 30}, "printer")
	c.drawLine("f", point{20, 84}, point{92, 84})
	c.drawLine("f", point{208, 56}, point{280, 56})
	c.writeText("", point{20, 100}, "tray")
	c.writeText("e", point{270, 48}, "delivery")
	if w.Is == printer.Automatic {
		c.drawArrow("k", point{110, 84}, point{172, 84}, point{190, 70}, point{172, 56}, point{130, 56}, point{118, 66}, point{130, 76}, point{150, 76})
		return 112
	}
	c.drawArrow("k", point{110, 84}, point{150, 80}, point{190, 58})
	c.drawArrow("d", point{250, 64}, point{250, 124}, point{50, 124}, point{50, 94})
	c.writeText("c", point{150, 120}, "back by hand")
	return 132
}

// TrayKind is a kind of tray, seen from the side, by the word that profiles have for it.
type TrayKind struct{ Word string }

func (k TrayKind) words() string {
	return map[string]string{
		"drawer":  "the paper lies inside a drawer",
		"upright": "the paper stands behind the printer",
		"slot":    "the paper lies flat and sticks out",
	}[k.Word]
}

func (k TrayKind) Describe() (title, desc string) {
	return "Tray: " + k.Word, fmt.Sprintf("A printer seen from its side: %s.", k.words())
}

func (k TrayKind) draw(c *canvas) float64 {
	c.drawBox("o", 100, 34, 220, 118)
	c.writeText("c", point{160, 60}, "printer")
	switch k.Word {
	case "drawer":
		c.drawBox("o", 108, 94, 228, 112)
		c.drawLine("k", point{116, 104}, point{208, 104})
	case "upright":
		c.drawLine("k", point{108, 50}, point{84, 4})
		c.drawLine("", point{104, 58}, point{76, 6})
	case "slot":
		c.drawLine("k", point{30, 104}, point{150, 104})
		c.drawLine("", point{40, 112}, point{100, 112})
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
	c.drawBox("o", 40, 20, 140, 100)
	c.writeText("c", point{90, 46}, "printer")
	c.drawLine("k", point{140, 80}, point{260, 80})
	for i := range 4 {
		x := 164 + 24*float64(i)
		if p.Word == "laser" {
			c.drawLine("", point{x, 68}, point{x + 5, 60}, point{x - 3, 50}, point{x + 4, 40})
			continue
		}
		c.drawArea("s", point{x, 52}, point{x + 5, 62}, point{x + 3, 68}, point{x - 3, 68}, point{x - 5, 62})
	}
	return 108
}
