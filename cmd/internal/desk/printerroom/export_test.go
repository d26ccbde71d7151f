package printerroom

import (
	"context"

	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/ipp"
)

// AddFinding registers the screen with another search for printers.
func AddFinding(d *page.Desk, find func(context.Context) []ipp.Found) { add(d).find = find }
