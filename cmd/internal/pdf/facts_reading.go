package pdf

import (
	"fmt"
	"strings"

	"foldwright/cmd/internal/pdf/cos"
)

// Label is what a page is called in the source (ISO 32000-1, 12.4.2).
type Label struct {
	Text    string // with its prefix; may be empty
	Number  int    // its place within its range, counted as the source counts
	Decimal bool   // the number is written in arabic figures
}

// RightToLeft tells whether the source says that it reads from right to left
// (ISO 32000-1, table 150, Direction).
func (d *Document) RightToLeft() bool {
	preferences := d.file.Dict(d.catalog().Get("ViewerPreferences"))
	return d.file.Resolve(preferences.Get("Direction")) == cos.Name("R2L")
}

func (d *Document) catalog() *cos.Dict { return d.file.Dict(d.file.Trailer.Get("Root")) }

// text is a text string of the source, empty if it is none.
func (d *Document) text(o cos.Object) string {
	s, _ := d.file.Resolve(o).(cos.String)
	return decodeText(string(s))
}

// Title is the source's title, empty if it has none.
func (d *Document) Title() string {
	return d.text(d.file.Dict(d.file.Trailer.Get("Info")).Get("Title"))
}

// Own tells whether this program wrote the file, and with which title.
func (d *Document) Own() (title string, own bool) {
	info := d.file.Dict(d.file.Trailer.Get("Info"))
	return d.Title(), d.file.Resolve(info.Get("Producer")) == cos.String(producer)
}

// Labels are the labels of the pages, nil if the source has none.
func (d *Document) Labels() []Label {
	ranges := map[int]*cos.Dict{}
	d.eachPair(d.catalog().Get("PageLabels"), "Nums", func(key, value cos.Object) {
		first, ok := key.(cos.Int)
		if r := d.file.Dict(value); ok && r != nil {
			ranges[int(first)] = r
		}
	})
	if len(ranges) == 0 {
		return nil
	}
	labels := make([]Label, len(d.pages))
	style, prefix, number := cos.Name(""), "", 1
	for i := range labels {
		if r := ranges[i]; r != nil {
			style, _ = d.file.Resolve(r.Get("S")).(cos.Name)
			prefix, number = d.text(r.Get("P")), 1
			if start, ok := d.file.Resolve(r.Get("St")).(cos.Int); ok && start > 0 && start < 1<<30 {
				number = int(start)
			}
		}
		if d.file.Spend(int64(len(prefix))) != nil {
			return nil
		}
		labels[i] = Label{prefix + numeral(style, number), number, style == "D"}
		number++
	}
	return labels
}

// eachPair goes through a tree of names or numbers, whose pairs stand under Names or Nums (ISO 32000-1, 7.9.6
// and 7.9.7). What has been read adds nothing more, wherever it stands.
func (d *Document) eachPair(root cos.Object, pairs cos.Name, see func(key, value cos.Object)) {
	seen := map[cos.Ref]bool{}
	var read func(at cos.Object, level int)
	read = func(at cos.Object, level int) {
		ref, isRef := at.(cos.Ref)
		tree := d.file.Dict(at)
		if isRef && seen[ref] || tree == nil || level > maxLevel {
			return
		}
		seen[ref] = true
		list, _ := d.file.Resolve(tree.Get(pairs)).(cos.Array)
		for ; len(list) > 1; list = list[2:] {
			see(d.file.Resolve(list[0]), list[1])
		}
		kids, _ := d.file.Resolve(tree.Get("Kids")).(cos.Array)
		for _, kid := range kids {
			read(kid, level+1)
		}
	}
	read(root, 0)
}

// numeral writes a page number in its style (ISO 32000-1, table 159).
func numeral(style cos.Name, n int) string {
	switch style {
	case "D":
		return fmt.Sprint(n)
	case "R":
		return roman(n)
	case "r":
		return strings.ToLower(roman(n))
	case "A", "a":
		// AA follows Z, then AAA.
		text := strings.Repeat(string(rune('A'+(n-1)%26)), min((n-1)/26+1, 100))
		if style == "a" {
			text = strings.ToLower(text)
		}
		return text
	}
	return ""
}

func roman(n int) string {
	if n >= 10000 {
		return fmt.Sprint(n)
	}
	var out strings.Builder
	for _, v := range []struct {
		value int
		text  string
	}{{1000, "M"}, {900, "CM"}, {500, "D"}, {400, "CD"}, {100, "C"}, {90, "XC"}, {50, "L"}, {40, "XL"}, {10, "X"}, {9, "IX"}, {5, "V"}, {4, "IV"}, {1, "I"}} {
		for ; n >= v.value; n -= v.value {
			out.WriteString(v.text)
		}
	}
	return out.String()
}
