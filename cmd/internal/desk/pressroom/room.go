// Package pressroom is where a job is printed, a step a screen.
package pressroom

import "foldwright/cmd/internal/desk/page"

// Add registers the screen.
func Add(d *page.Desk) {
}
