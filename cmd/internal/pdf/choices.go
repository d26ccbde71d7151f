package pdf

import (
	"strings"

	"foldwright/cmd/internal/pdf/cos"
)

// option is one that a choice field offers: what is exported and what is shown.
type option struct{ value, shown string }

func (c *copier) options(d *cos.Dict) []option {
	list, _ := c.inherited(d, "Opt").(cos.Array)
	var out []option
	for _, o := range list {
		if pair, ok := c.src.Resolve(o).(cos.Array); ok && len(pair) > 1 {
			out = append(out, option{c.fieldText(pair[0]), c.fieldText(pair[1])})
		} else {
			out = append(out, option{c.fieldText(o), c.fieldText(o)})
		}
	}
	return out
}

// selected are the values that a choice field has.
func (c *copier) selected(d *cos.Dict) []string {
	v := c.inherited(d, "V")
	list, ok := v.(cos.Array)
	if !ok {
		return []string{c.fieldText(v)}
	}
	var out []string
	for _, o := range list {
		out = append(out, c.fieldText(o))
	}
	return out
}

// chosen is the text of a choice field: the selected options as they are shown.
func (c *copier) chosen(d *cos.Dict) string {
	out := c.selected(d)
	shown := map[string]string{}
	for _, o := range c.options(d) {
		if _, twice := shown[o.value]; !twice {
			shown[o.value] = o.shown
		}
	}
	for i, v := range out {
		if s, ok := shown[v]; ok {
			out[i] = s
		}
	}
	return strings.Join(out, ", ")
}

// list draws a list box: its options from the first one that shows (TI), the
// selected ones on grey (ISO 32000-1, 12.7.4.4).
func (c *copier) list(s *sketch, a annotation, extent box) (letters, bool) {
	border := c.decorate(s, a.dict, extent)
	l := c.letters(a.dict)
	size := l.size
	if size == 0 {
		size = 12
	}
	leading := 1.15 * size
	s.op("/Tx BMC q")
	s.op("re W n", border, border, max(0, extent.width()-2*border), max(0, extent.height()-2*border))
	options, selected := c.options(a.dict), map[string]bool{}
	for _, v := range c.selected(a.dict) {
		selected[v] = true
	}
	first, _ := cos.Float(c.inherited(a.dict, "TI"))
	if int(first) > 0 && int(first) < len(options) {
		options = options[int(first):]
	}
	y := extent.y1 - 2*border
	for _, o := range options {
		text, ok := c.encoded(a, o.shown)
		if !ok {
			return letters{}, false
		}
		if y -= leading; y < -leading {
			break
		}
		if selected[o.value] {
			s.op("q")
			s.op("g", 0.75)
			s.op("re f Q", extent.x0, y, extent.width(), leading)
		}
		l.show(s, 2*border+1, y+0.25*size, size, text)
	}
	s.op("Q EMC")
	return l, true
}
