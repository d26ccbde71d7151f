package proof

import (
	"context"
	"errors"
	"fmt"

	"foldwright/cmd/internal/secondreader"
	"foldwright/reorder/refusal"
)

// askSecondReader adds to a result what another reader says of the print files:
// the printer's own may stumble where the renderer does not. Where it refuses the source as well, it may
// find fault with what the source has brought along, and its word is no more than a note.
func (p *Print) askSecondReader(ctx context.Context, source, password string, r *Result) error {
	var inherited error // the source's refusal
	asked := false
	for _, f := range p.Files {
		err := secondreader.Check(ctx, f.path, "")
		switch {
		case err == nil:
			continue
		case errors.Is(err, secondreader.ErrTooLarge):
			r.Notes = append(r.Notes, fmt.Sprintf("%s was not shown to a second reader of PDF, which reads no files of more than %d MB", f.Name, secondreader.MostBytes>>20))
			continue
		case refusal.Of(err) != refusal.Source:
			return err
		}
		if !asked {
			inherited = secondreader.Check(ctx, source, password)
			asked = true
		}
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if refusal.Of(inherited) == refusal.Source {
			r.Notes = append(r.Notes, fmt.Sprintf("a second reader of PDF refuses %s, and the source too: %v", f.Name, err))
			continue
		}
		r.Faults = append(r.Faults, Fault{File: f.Name, What: fmt.Sprintf("%s is refused by a second reader of PDF: %v", f.Name, err)})
	}
	return nil
}
