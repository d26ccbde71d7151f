package reorder

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
	"foldwright/reorder/refusal"
)

// Paper is a size of sheet with its name, in feed orientation.
type Paper struct {
	Name string `json:"name"` // self-describing, as in PWG 5101.1
	geom.Size
}

// stockNames is the stock sizes: their PWG 5101.1 names carry the size.
var stockNames = []string{
	"iso_a0_841x1189mm", "iso_a1_594x841mm", "iso_a2_420x594mm", "iso_a3_297x420mm",
	"iso_a4_210x297mm", "iso_a5_148x210mm", "iso_a6_105x148mm", "iso_a7_74x105mm",
	"iso_a8_52x74mm", "iso_a9_37x52mm", "iso_a10_26x37mm",
	"iso_b0_1000x1414mm", "iso_b1_707x1000mm", "iso_b2_500x707mm", "iso_b3_353x500mm",
	"iso_b4_250x353mm", "iso_b5_176x250mm", "iso_b6_125x176mm", "iso_b7_88x125mm",
	"iso_b8_62x88mm", "iso_b9_44x62mm", "iso_b10_31x44mm",
	"jis_b4_257x364mm", "jis_b5_182x257mm", "jis_b6_128x182mm",
	"na_letter_8.5x11in", "na_legal_8.5x14in", "na_ledger_11x17in",
	"na_invoice_5.5x8.5in", "na_executive_7.25x10.5in",
}

// shortNames is the names that people use.
var shortNames = [][2]string{
	{"a3", "iso_a3_297x420mm"}, {"a4", "iso_a4_210x297mm"}, {"a5", "iso_a5_148x210mm"}, {"a6", "iso_a6_105x148mm"},
	{"iso-b5", "iso_b5_176x250mm"}, {"jis-b5", "jis_b5_182x257mm"},
	{"letter", "na_letter_8.5x11in"}, {"half-letter", "na_invoice_5.5x8.5in"}, {"legal", "na_legal_8.5x14in"},
	{"ledger", "na_ledger_11x17in"}, {"executive", "na_executive_7.25x10.5in"},
}

// ShortPaperNames is the short forms that ParsePaper takes, in a fixed order.
func ShortPaperNames() []string {
	return lists.Map(shortNames, func(s [2]string) string { return s[0] })
}

var dimensions = regexp.MustCompile(`^([0-9]+(?:\.[0-9]+)?)x([0-9]+(?:\.[0-9]+)?)(mm|in)$`)

// Sheets that a person feeds to a printer on a desk, in millimetres.
const (
	smallestSheet = 50.0
	largestSheet  = 2000.0
)

// ParsePaper reads a short form such as a4, a PWG 5101.1 name such as
// iso_a4_210x297mm, or a size such as 210x297mm or 8.5x11in; a size wider
// than high is turned into feed orientation.
func ParsePaper(text string) (Paper, error) {
	name := strings.ToLower(strings.TrimSpace(text))
	if name == "b5" {
		return Paper{}, refusal.Plan.New("paper %q could mean two sizes", text).Advise("write iso-b5 (176 x 250 mm) or jis-b5 (182 x 257 mm)")
	}
	if i := slices.Index(ShortPaperNames(), name); i >= 0 {
		name = shortNames[i][1]
	}
	if slices.Contains(stockNames, name) {
		return Paper{name, sizeIn(name)}, nil
	}
	custom := name
	if rest, ok := strings.CutPrefix(name, "custom_"); ok {
		custom = rest[strings.LastIndexByte(rest, '_')+1:]
	}
	if !dimensions.MatchString(custom) {
		return Paper{}, refusal.Plan.New("paper %q is not known", text).Advise("write one of %s, or a size such as 210x297mm or 8.5x11in", strings.Join(ShortPaperNames(), ", "))
	}
	size := sizeIn(custom)
	if size.W < smallestSheet || size.H > largestSheet {
		return Paper{}, refusal.Plan.New("paper %q is not a size of sheet", text).Advise("both edges must be between %g and %g mm", smallestSheet, largestSheet)
	}
	for _, n := range stockNames {
		if sizeIn(n) == size {
			return Paper{n, size}, nil
		}
	}
	mm := fmt.Sprintf("%sx%smm", geom.Millimetres(size.W), geom.Millimetres(size.H))
	return Paper{"custom_" + mm + "_" + mm, size}, nil
}

// sizeIn is the size, in feed orientation, with which a name ends. The name
// is one that dimensions has matched, so its numbers are numbers.
func sizeIn(name string) geom.Size {
	m := dimensions.FindStringSubmatch(name[strings.LastIndexByte(name, '_')+1:])
	w, _ := strconv.ParseFloat(m[1], 64)
	h, _ := strconv.ParseFloat(m[2], 64)
	if m[3] == "in" {
		w, h = w*geom.Inch, h*geom.Inch
	}
	return geom.Size{W: w, H: h}.Portrait()
}

// paperWords are what print dialogs call papers whose PWG 5101.1 name does not
// show it.
var paperWords = map[string]string{
	"na_letter":    "Letter",
	"na_legal":     "Legal",
	"na_ledger":    "Ledger (Tabloid)",
	"na_invoice":   "Half Letter (Statement, Invoice)",
	"na_executive": "Executive",
}

// Word is what people call the paper, or its size if it has no name.
func (p Paper) Word() string {
	maker, rest, _ := strings.Cut(p.Name, "_")
	class, _, _ := strings.Cut(rest, "_")
	if w, ok := paperWords[maker+"_"+class]; ok {
		return w
	}
	switch {
	case maker == "custom" || class == "":
		return p.Size.String()
	case maker == "jis" || strings.HasPrefix(class, "b"):
		return strings.ToUpper(maker + " " + class)
	}
	return strings.ToUpper(class)
}
