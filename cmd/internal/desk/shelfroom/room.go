// Package shelfroom is where many titles are prepared, overnight.
package shelfroom

import "foldwright/cmd/internal/desk/page"

// Add registers the screen.
func Add(d *page.Desk) {
}
