package reorder

import "strings"

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
