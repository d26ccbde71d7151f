// Package benchroom is where what was measured becomes the figures for boards, spine and cloth.
package benchroom

import "foldwright/cmd/internal/desk/page"

// Add registers the screen.
func Add(d *page.Desk) {
}
