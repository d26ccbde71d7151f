package planroom

import "html/template"

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
