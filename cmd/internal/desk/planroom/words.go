package planroom

import (
	"strings"

	"foldwright/cmd/internal/binding/structure"
	"foldwright/reorder/phrase"
)

// words names options and commands as the pages do.
type words struct{}

// Words names options and commands as the pages do.
func Words() phrase.Style { return words{} }

// Setting names an option by its label, and a value in its words.
func (words) Setting(s phrase.Setting) string {
	c, ok := choiceOf(s.Key)
	if !ok {
		if text, known := otherSettings[s.Key]; known {
			return text
		}
		return strings.ReplaceAll(s.Key, "-", " ") + strings.TrimRight(" "+s.Value, " ")
	}
	return "“" + c.with(s.Value) + "”"
}

// with is the choice with a value, as a button says it.
func (c choice) with(text string) string {
	if text == "" || c.Kind == tick {
		return c.Label
	}
	label, _, _ := strings.Cut(c.words(text), ":")
	return c.Label + ": " + label
}

// Command names a command by the place where a page does the same.
func (words) Command(c phrase.Command) string {
	if text, known := commands[c.Name]; known {
		return text
	}
	return "Foldwright's page"
}

// otherSettings are what sentences name besides the choices for a book.
var otherSettings = map[string]string{
	"password-file": "the box for the password", "page-timeout": "more time for each page", "source": "the PDF itself",
	"replace": "replacing what is there", "books": "the folder of your books", "profiles": "the folder of your printers",
	"out": "another place", "proof": "a proof of the print files", "sheet": "the number of a sheet", "pass": "the pass",
	"block-thickness": "the box “Thickness of the block”", "leaf-size": "the boxes for a trimmed leaf",
	"spine": "the box “Spine”", "board": "the box “Thickness of the board”",
	"thread": "the box “Thickness of the thread”", "stack": "the boxes “Stack of your paper”",
	"two-on": "sewing two gatherings on at a time", "volume": "the volume",
	"side": "the side of the sheet", "after-sheet": "the last good sheet", "without": "the sheets that are lost", "memory": "more memory",
}

// commands are what the program's commands are on its pages; what is on none is done with the command.
var commands = map[string]string{
	"prepare": "“Prepare the print files” on the book's Plan page", "print": "the book's Print page",
	"kit":     "“Page sets for other people's printers” on the book's Plan page",
	"inspect": "the book's Plan page", "preview": "the book's Plan page",
	"reprint": "“A sheet of the book is spoiled” on the book's Print page", "continue": "“Something went wrong” on the book's Print page",
	"testsheet": "“Learn a printer” on the Printers page", "learn": "“Learn a printer” on the Printers page", "printers": "the Printers page",
	"measure": "the book's Bench page", "structures": "“Way of binding” on the book's Plan page",
	"batch": "the Shelf page", "proof": "the command foldwright proof", "simulate": "the command foldwright simulate",
}

// builtinPrinters are the printers that the program knows from the start, in words.
var builtinPrinters = map[string]string{
	"by-hand-short":         "prints one side, sheets come out face down, turned like a wall calendar (the usual case)",
	"by-hand-long":          "prints one side, sheets come out face down, turned like the page of a book",
	"by-hand-face-up-short": "prints one side, sheets come out face up, turned like a wall calendar",
	"by-hand-face-up-long":  "prints one side, sheets come out face up, turned like the page of a book",
	"automatic-short":       "turns the paper itself, like a wall calendar",
	"automatic-long":        "turns the paper itself, like the page of a book",
}

// PrinterWords are a printer as a page says it, by the name of its profile.
func PrinterWords(name string) string {
	if text, builtin := builtinPrinters[name]; builtin {
		return text
	}
	return name
}

func structures() (out []value) {
	for _, name := range structure.Names() {
		out = append(out, value{name, strings.ReplaceAll(name, "-", " ")})
	}
	return out
}
