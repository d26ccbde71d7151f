// Package printerroom is where printers are found and learned, with their trays and papers.
package printerroom

import "foldwright/cmd/internal/desk/page"

// Add registers the screen.
func Add(d *page.Desk) {
}
