package pdf

import (
	"cmp"
	"fmt"

	"foldwright/cmd/internal/pdf/cos"
)

// lacks warns that something which belongs to the page in work is missing: it would be blank, or lack
// something, in silence.
func (c *copier) lacks(what string) {
	if c.src.Err() == nil { // else everything is missing
		c.src.Warn(fmt.Sprintf("page %d: %s is missing from the file", c.at, what))
	}
}

// kinds are what the resources of a category are called.
var kinds = map[cos.Name]string{"XObject": "a picture or drawing", "Font": "a font", "Pattern": "a pattern", "Shading": "a shading"}

// warnOfGaps warns of resources that a page's content names and the file doesn't have.
func (c *copier) warnOfGaps(resources *cos.Dict, used names, content *cos.Stream) {
	for _, category := range byName {
		gaps := c.gapsIn(c.src.Dict(resources.Get(category)))
		if len(gaps) > 0 && used == nil {
			used = c.namesOf(content)
		}
		for _, gap := range gaps {
			if used != nil && !used[gap.Key] {
				continue
			}
			if ref, ok := gap.Value.(cos.Ref); ok {
				c.told[ref.Num] = true
			}
			c.lacks(cmp.Or(kinds[category], "something") + " that it uses")
		}
	}
}

// gapsIn are the entries of a dictionary that lead to no object, looked for once: a book's pages can share
// a large one.
func (c *copier) gapsIn(d *cos.Dict) []cos.Entry {
	gaps, ok := c.gaps[d]
	if !ok {
		for _, e := range d.All() {
			if ref, isRef := e.Value.(cos.Ref); isRef && !c.src.Has(ref.Num) {
				gaps = append(gaps, e)
			}
		}
		c.gaps[d] = gaps
	}
	return gaps
}
