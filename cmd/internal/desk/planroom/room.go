// Package planroom is where books are taken in, looked at and planned.
package planroom

import "foldwright/cmd/internal/desk/page"

// Add registers the screen.
func Add(d *page.Desk) {
}
