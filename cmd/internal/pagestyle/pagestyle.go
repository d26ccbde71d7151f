// Package pagestyle is what the HTML pages of the program have in common to the eye:
// colours, type, the title on its opened sheet, and how they are printed. What a page
// has besides stands in its own style, after this one.
package pagestyle

import (
	_ "embed"
	"html/template"
)

//go:embed style.css
var css string

// CSS is the text of the style.
func CSS() template.CSS { return template.CSS(css) }
