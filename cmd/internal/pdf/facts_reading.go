package pdf

import (
	"fmt"
	"strings"
	"unicode/utf16"

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
	preferences, _ := d.file.Resolve(d.catalog().Get("ViewerPreferences")).(*cos.Dict)
	return d.file.Resolve(preferences.Get("Direction")) == cos.Name("R2L")
}

func (d *Document) catalog() *cos.Dict {
	root, _ := d.file.Resolve(d.file.Trailer.Get("Root")).(*cos.Dict)
	return root
}

// Own tells whether this program wrote the file, and with which title.
func (d *Document) Own() (title string, own bool) {
	info, _ := d.file.Resolve(d.file.Trailer.Get("Info")).(*cos.Dict)
	t, _ := d.file.Resolve(info.Get("Title")).(cos.String)
	p, _ := d.file.Resolve(info.Get("Producer")).(cos.String)
	return readable(t), string(p) == producer
}

// Labels are the labels of the pages, nil if the source has none.
func (d *Document) Labels() []Label {
	ranges := map[int]*cos.Dict{}
	d.labelRanges(d.catalog().Get("PageLabels"), ranges, map[cos.Ref]bool{}, 0)
	if len(ranges) == 0 {
		return nil
	}
	labels := make([]Label, len(d.pages))
	style, prefix, number := cos.Name(""), "", 1
	for i := range labels {
		if r := ranges[i]; r != nil {
			style, _ = d.file.Resolve(r.Get("S")).(cos.Name)
			p, _ := d.file.Resolve(r.Get("P")).(cos.String)
			prefix, number = readable(p), 1
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

// labelRanges reads a number tree (ISO 32000-1, 7.9.7). What has been read adds nothing more, wherever
// it stands.
func (d *Document) labelRanges(at cos.Object, ranges map[int]*cos.Dict, seen map[cos.Ref]bool, level int) {
	if ref, ok := at.(cos.Ref); ok {
		if seen[ref] {
			return
		}
		seen[ref] = true
	}
	tree, ok := d.file.Resolve(at).(*cos.Dict)
	if !ok || level > maxLevel {
		return
	}
	nums, _ := d.file.Resolve(tree.Get("Nums")).(cos.Array)
	for i := 0; i+1 < len(nums); i += 2 {
		first, ok := d.file.Resolve(nums[i]).(cos.Int)
		r, isDict := d.file.Resolve(nums[i+1]).(*cos.Dict)
		if ok && isDict {
			ranges[int(first)] = r
		}
	}
	kids, _ := d.file.Resolve(tree.Get("Kids")).(cos.Array)
	for _, kid := range kids {
		d.labelRanges(kid, ranges, seen, level+1)
	}
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

// readable reads a text string (ISO 32000-1, 7.9.2.2), taking PDFDocEncoding for Latin-1.
func readable(s cos.String) string {
	if strings.HasPrefix(string(s), "\xFE\xFF") {
		var units []uint16
		for i := 2; i+1 < len(s); i += 2 {
			units = append(units, uint16(s[i])<<8|uint16(s[i+1]))
		}
		return string(utf16.Decode(units))
	}
	if strings.HasPrefix(string(s), "\xEF\xBB\xBF") {
		return string(s[3:])
	}
	runes := make([]rune, len(s))
	for i := range len(s) {
		runes[i] = rune(s[i])
	}
	return string(runes)
}
