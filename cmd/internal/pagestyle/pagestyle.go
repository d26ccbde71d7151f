// Package pagestyle is what the HTML pages of the program have in common to the eye:
// colours, type, the title on its opened sheet, and how they are printed. What a page
// has besides stands in its own style, after this one. A page that its command may replace says
// which one wrote it.
package pagestyle

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strings"

	"foldwright/profiles/regular"
)

//go:embed style.css
var css string

// CSS is the text of the style.
func CSS() template.CSS { return template.CSS(css) }

// Generator is the command that writes a page.
type Generator string

// HTML is the element that names it in the head of the page.
func (g Generator) HTML() template.HTML {
	return template.HTML(fmt.Sprintf(`<meta name="generator" content="foldwright %s">`, g))
}

// IsIn tells whether a file is a page that the command has written.
func (g Generator) IsIn(path string) bool {
	f, err := regular.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	start, err := io.ReadAll(io.LimitReader(f, 1024))
	return err == nil && strings.Contains(string(start), string(g.HTML()))
}
