package planroom

import (
	"html/template"
	"strings"

	"foldwright/cmd/internal/options"
	"foldwright/reorder"
)

// choice is an option as a page asks for it.
type choice struct {
	Key     string // of worklists
	Label   string
	Help    string
	Kind    kind
	Values  []value
	Another string // the label of a box for any other value than those, with an example; empty: there is none
}

// kind is how a choice is asked for.
type kind string

const (
	list   kind = "list"   // one of a few values
	shapes kind = "shapes" // the same, each with a drawing
	box    kind = "box"    // a text
	tick   kind = "tick"   // yes or no
	marks  kind = "marks"  // which marks are printed
)

// value is what can be chosen.
type value struct{ Value, Label string }

// group is choices that belong together.
type group struct {
	ID, Title string
	Choices   []choice
}

// groups are all choices, in the order of the README.
var groups = []group{
	{"paper", "Paper, printer and gatherings", []choice{
		{Key: "paper", Label: "Paper", Help: "The paper that you print on.", Kind: list, Values: papers(), Another: "Another size, such as 152x229mm or 8.5x11in"},
		{Key: "printer", Label: "Printer", Help: "How your printer feeds and turns paper. A printer that has been learned is no guess any more.", Kind: list},
		{Key: "run", Label: "Sheets printed together", Help: "What the tray holds, if the printer's profile says it; else the whole book.", Kind: list, Values: []value{{"book", "the whole book"}, {"gathering", "each gathering by itself"}}, Another: "At most so many sheets, such as 25"},
		{Key: "sheets", Label: "Most sheets in a gathering", Help: "By default a gathering is about 0.8 mm thick: 4 sheets of office paper.", Kind: box},
		{Key: "pieces", Label: "Most folded pieces in a gathering", Help: "Instead of its sheets, such as 3: half a sheet is then used for one gathering and half for the next. Only for sheets that are cut.", Kind: box},
		{Key: "fewest", Label: "Fewest sheets in a gathering", Help: "Or pieces, if these are counted. Blank ones are added if need be.", Kind: box},
		{Key: "gathering-thickness", Label: "Thickness of a gathering", Help: "Such as 1.5mm, or between two, 1-1.5mm. It needs the thickness or the weight of the paper.", Kind: box},
		{Key: "gatherings", Label: "Exactly these gatherings", Help: "Their sheets, with commas between: 4,4,3.", Kind: box},
		{Key: "volumes", Label: "Volumes", Help: "In how many volumes the book is bound.", Kind: box},
		{Key: "caliper", Label: "Thickness of one leaf", Help: "Measure 40 leaves under light pressure and divide by 40, such as 0.1mm. Pages of inner leaves then move towards the spine.", Kind: box},
		{Key: "weight", Label: "Weight of the paper", Help: "Instead of the thickness: 80 (g/m2), 20lb-bond or 60lb-text.", Kind: box},
		{Key: "creep-measured", Label: "How far the innermost leaf stands out", Help: "If you have measured it on your thickest gathering, such as 0.8mm.", Kind: box},
	}},
	{"folding", "Folding and cutting", []choice{
		{Key: "fold", Label: "Fold", Help: "How a sheet becomes leaves.", Kind: shapes, Values: []value{
			{"folio", "folio: fold once, 2 leaves"}, {"quarto", "quarto: fold twice, 4 leaves"}, {"octavo", "octavo: fold three times, 8 leaves"},
			{"sixteenmo", "sixteenmo: fold four times, 16 leaves"}, {"duodecimo", "duodecimo: cut off a third and lay it in, 12 leaves"},
			{"loose", "loose leaves, for gluing or stabbing"}, {"pouch", "pouch: printed on one side, closed at the fore-edge"}, {"concertina", "concertina: one long strip, folded to and fro"},
		}},
		{Key: "cut", Label: "Cut each sheet before folding", Kind: list, Values: []value{{"1", "not at all"}, {"2", "in half"}, {"4", "into quarters"}, {"8", "into eighths, for a small book"}, {"16", "into sixteenths, for a tiny one"}}},
		{Key: "cut-edge", Label: "Edges that you cut by hand", Help: "Only for sheets that are cut.", Kind: list, Values: []value{{"any", "end up anywhere"}, {"tail", "all end up at the tail"}}},
		{Key: "cut-by", Label: "Cut as one stack", Help: "Only for sheets that are cut.", Kind: list, Values: []value{{"gathering", "the sheets of a gathering"}, {"run", "the sheets of a run; count off its gatherings afterwards"}}},
		{Key: "nest", Label: "Sheets of a gathering", Kind: shapes, Values: []value{{"inset", "fold one by one and lay into each other"}, {"together", "lay on each other and fold as one"}}},
		{Key: "leaf", Label: "Shape of the leaves", Kind: list, Values: []value{{"portrait", "taller than wide"}, {"landscape", "wider than tall"}}},
		{Key: "bind", Label: "Spine", Kind: shapes, Values: []value{{"left", "at the left"}, {"right", "at the right, for scripts read from right to left"}, {"top", "at the top, like a wall calendar"}}},
		{Key: "copies-across", Label: "Two books side by side, to be cut apart", Help: "Only for loose leaves.", Kind: tick},
		{Key: "overlap", Label: "Overlap of the sheets of a strip", Help: "Only for a concertina, such as 10mm.", Kind: box},
	}},
	{"placing", "Pages on their leaves", []choice{
		{Key: "scale", Label: "Size of the pages", Kind: list, Values: []value{{"fit", "the largest that fits"}, {"none", "as they are, 100 percent"}}, Another: "A percentage, such as 90%"},
		{Key: "scale-each", Label: "Fit every page by itself", Kind: tick},
		{Key: "place", Label: "Place on the leaf", Kind: shapes, Values: []value{{"spine", "at the spine"}, {"middle", "in the middle"}, {"classic", "with classic margins added to its own, the smallest at the spine"}}},
		{Key: "margins", Label: "Margins around the text", Help: "At the spine, at the outer edge, at the head and at the tail, such as 20,25,18,30. What is printed on the pages is enlarged or reduced to fit. For a blank book, the margins of its ruling.", Kind: box},
		{Key: "gutter", Label: "Space between spine and page", Help: "Such as 5mm or 0.2in.", Kind: box},
		{Key: "trim", Label: "Trimmed off after folding", Help: "One length, such as 3mm, or head, tail and fore-edge: 3,3,5.", Kind: box},
		{Key: "trim-to", Label: "Size of the trimmed leaf", Help: "Instead of what is trimmed off: 140x200mm or 6x9in.", Kind: box},
		{Key: "wide", Label: "Landscape pages on portrait leaves", Kind: list, Values: []value{{"turn", "turn them, their head at the left"}, {"shrink", "shrink them"}}},
		{Key: "cut-overhang", Label: "Cut off what is too large for its leaf", Kind: tick},
		{Key: "keep-clear", Label: "Edge that your printer cannot reach", Help: "One length, such as 4.2mm, or head, tail, left and right. You are warned of print there.", Kind: box},
		{Key: "box", Label: "What is used of a page", Kind: list, Values: []value{{"crop", "what a viewer shows"}, {"trim", "the finished page, without bleed"}, {"media", "all there is"}, {"content", "only what is printed on it, for wide margins"}}},
		{Key: "margin", Label: "Space around what is printed", Help: "Only if no more than that is used of a page, such as 5mm.", Kind: box},
	}},
	{"pages", "Which pages", []choice{
		{Key: "pages", Label: "Use only these pages", Help: "Such as 1-12,15,20-, as they lie in the PDF.", Kind: box},
		{Key: "drop-pages", Label: "Leave these pages out", Help: "Such as 1,7-9.", Kind: box},
		{Key: "take-covers", Label: "Pages that are the cover, not the text", Kind: list, Values: []value{{"2", "the first and the last one"}, {"4", "the first two and the last two"}}},
		{Key: "split", Label: "Pages that hold two side by side", Kind: list, Values: []value{{"none", "stay one page"}, {"spreads", "become two pages each"}}},
		{Key: "split-at", Label: "Where they are split", Help: "From the left edge, such as 48% or 105mm.", Kind: box},
		{Key: "split-first", Label: "The first of them", Kind: list, Values: []value{{"by-width", "is split if it is as wide as the others"}, {"single", "is a single page"}, {"double", "holds two pages"}}},
		{Key: "blanks-before", Label: "Blank pages before the first", Help: "An odd number turns right-hand pages into left-hand pages.", Kind: box},
		{Key: "blanks-after", Label: "Blank pages after the last", Kind: box},
		{Key: "pad", Label: "Blank pages that fill the last gathering", Kind: list, Values: []value{{"after", "after the text"}, {"before", "before the text"}, {"split", "before and after"}}},
		{Key: "recto", Label: "Pages that must be right-hand pages", Kind: list, Values: []value{{"outline", "the first pages of chapters, as the PDF's outline has them"}}, Another: "These pages, such as 5,23"},
		{Key: "verso", Label: "Pages that must be left-hand pages", Kind: list, Values: []value{{"outline", "the first pages of chapters, as the PDF's outline has them"}}, Another: "These pages, such as 12"},
		{Key: "half-titles", Label: "A half-title before the book", Help: "A page with the PDF's title.", Kind: tick},
		{Key: "numbers", Label: "Running page numbers", Help: "At the foot of the pages. Leave it if the pages have numbers of their own.", Kind: list, Values: []value{{"outer", "at the outer edge"}, {"centre", "in the middle"}}},
		{Key: "numbers-from", Label: "The first page has the number", Help: "Blank pages count and bear none.", Kind: box},
		{Key: "numbers-skip", Label: "Pages without a number", Help: "As they lie in the PDF, such as 1-4.", Kind: box},
	}},
	{"blank", "A blank book instead", []choice{
		{Key: "blank", Label: "Blank pages instead of the PDF", Help: "How many pages, such as 96. Nothing of the PDF is printed then.", Kind: box},
		{Key: "blank-gatherings", Label: "Blank gatherings within the book", Help: "For notes: after which of its gatherings one is laid, such as 3,6,end; 0 is before the first.", Kind: box},
		{Key: "ruling", Label: "What is printed on them", Kind: list, Values: []value{{"plain", "nothing"}, {"lines", "lines"}, {"grid", "squares"}, {"dots", "dots"}}},
		{Key: "spacing", Label: "From line to line", Help: "Or from dot to dot, such as 7mm.", Kind: box},
	}},
	{"bench", "Marks and the bench", []choice{
		{Key: "marks", Label: "Marks on the sheets", Help: "They lie in folds, on cuts or in what is trimmed off.", Kind: marks},
		{Key: "no-side-names", Label: "Leave out the small grey line along each fold", Help: "Only this line shows a double feed or a dropped stack.", Kind: tick},
		{Key: "structure", Label: "Way of binding", Kind: list, Values: structures()},
		{Key: "supports", Label: "Number of cords, tapes or inner holes", Kind: box},
		{Key: "stations", Label: "Where the holes are", Help: "From the trimmed head, such as 12,60,105mm.", Kind: box},
		{Key: "units", Label: "Figures for the bench", Kind: list, Values: []value{{"mm", "in millimetres"}, {"in", "in inches"}}},
	}},
	{"trying", "Trying first", []choice{
		{Key: "copies", Label: "Copies of the book", Help: "Such as 12, one after the other.", Kind: box},
		{Key: "only-gathering", Label: "A trial of one gathering", Help: "Its number, such as 1: these few sheets alone are printed.", Kind: box},
		{Key: "dummy", Label: "Large page numbers instead of the pages", Help: "To try printing and folding on scrap paper.", Kind: tick},
	}},
}

func papers() (out []value) {
	for _, name := range reorder.ShortPaperNames() {
		label := strings.ToUpper(name[:1]) + strings.ReplaceAll(name[1:], "-", " ")
		label = strings.NewReplacer("Iso b", "ISO B", "Jis b", "JIS B", "Half letter", "Half letter").Replace(label)
		out = append(out, value{name, label})
	}
	return out
}

// markWords are the marks that can be printed, but for those that name gatherings.
var markWords = []value{
	{"fold", "where to fold"}, {"cut", "where to cut"}, {"collation", "stairs down the spine, to see that no gathering is missing"},
	{"stations", "holes in the innermost fold"}, {"corners", "corners of the trimmed leaf"},
}

// signWords are how gatherings are named at the foot of their first page.
var signWords = []value{{"letter", "gatherings by letters"}, {"number", "gatherings by numbers"}, {"", "gatherings not named"}}

// choiceOf is the choice of a key.
func choiceOf(key string) (choice, bool) {
	for _, g := range groups {
		for _, c := range g.Choices {
			if c.Key == key {
				return c, true
			}
		}
	}
	return choice{}, false
}

// words are a value as a page says it.
func (c choice) words(text string) string {
	for _, v := range c.Values {
		if v.Value == text {
			return v.Label
		}
	}
	switch {
	case c.Kind == marks && text == options.UsualMarks.String():
		return "all"
	case c.Kind == marks && text == "none":
		return "none"
	case c.Key == "paper":
		if p, err := reorder.ParsePaper(text); err == nil {
			return p.Word()
		}
	case c.Key == "printer":
		return PrinterWords(text)
	}
	return text
}

// shape is a small drawing of a value; the words beside it say the same, so that it is hidden from readers.
func shape(key, value string) template.HTML {
	lines, ok := shapeLines[key+" "+value]
	if !ok {
		return ""
	}
	return template.HTML(`<svg class="plan-shape" viewBox="0 0 48 34" width="48" height="34" aria-hidden="true" focusable="false" fill="none" stroke="currentColor" stroke-width="1.5">` + lines + `</svg>`)
}

const (
	sheetLines  = `<path d="M4 4h40v26H4z"/>`
	leafLines   = `<path d="M13 3h22v28H13z"/>`
	dashes      = ` stroke-dasharray="3 2"`
	thickStroke = ` stroke-width="4"`
)

// shapeLines are sheets with their folds dashed, leaves with their spine thick, pages filled.
var shapeLines = map[string]string{
	"fold folio":      sheetLines + `<path d="M24 4v26"` + dashes + `/>`,
	"fold quarto":     sheetLines + `<path d="M24 4v26M4 17h40"` + dashes + `/>`,
	"fold octavo":     sheetLines + `<path d="M24 4v26M4 17h40M14 4v26M34 4v26"` + dashes + `/>`,
	"fold sixteenmo":  sheetLines + `<path d="M24 4v26M4 17h40M14 4v26M34 4v26M4 10.5h40M4 23.5h40"` + dashes + `/>`,
	"fold duodecimo":  sheetLines + `<path d="M24 4v26M4 17h40M14 4v26"` + dashes + `/><path d="M34 4v26"/>`,
	"fold loose":      `<path d="M10 3h18v26H10zM14 5h18v26H14z"/>`,
	"fold pouch":      `<path d="M6 9h30a8 8 0 0 1 0 16H6"/>`,
	"fold concertina": `<path d="M4 28l8-22 8 22 8-22 8 22 8-22"/>`,
	"nest inset":      `<path d="M6 28V6l18 22L42 6v22M12 28V14l12 14 12-14v14"/>`,
	"nest together":   `<path d="M4 6l20 22L44 6M8 4l16 18L40 4"/>`,
	"bind left":       leafLines + `<path d="M13 3v28"` + thickStroke + `/>`,
	"bind right":      leafLines + `<path d="M35 3v28"` + thickStroke + `/>`,
	"bind top":        leafLines + `<path d="M13 3h22"` + thickStroke + `/>`,
	"place spine":     leafLines + `<path d="M13 3v28"` + thickStroke + `/><path d="M15 7h14v20H15z" fill="currentColor" fill-opacity=".3"/>`,
	"place middle":    leafLines + `<path d="M13 3v28"` + thickStroke + `/><path d="M17 7h14v20H17z" fill="currentColor" fill-opacity=".3"/>`,
	"place classic":   leafLines + `<path d="M13 3v28"` + thickStroke + `/><path d="M16 6h14v18H16z" fill="currentColor" fill-opacity=".3"/>`,
}
