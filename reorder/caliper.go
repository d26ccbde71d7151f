package reorder

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"foldwright/reorder/enum"
	"foldwright/reorder/refusal"
)

// Basis is the sheet of which 500 weigh the pounds by which a kind of paper
// is sold; without it a number of pounds says nothing.
type Basis int

const (
	Bond      Basis = iota + 1 // 17 x 22 in
	BookText                   // 25 x 38 in
	Cover                      // 20 x 26 in
	IndexCard                  // 25.5 x 30.5 in
)

var basisWords = enum.Words{What: "kind of paper", List: []string{"bond", "text", "cover", "index"}}

func (b Basis) String() string { return basisWords.Of(int(b)) }

// GSM is the weight in g/m2 of paper of so many pounds.
func (b Basis) GSM(pounds float64) float64 {
	size := map[Basis]Size{Bond: {17, 22}, BookText: {25, 38}, Cover: {20, 26}, IndexCard: {25.5, 30.5}}[b]
	const gramsPerPound, sheets = 453.59237, 500
	return pounds * gramsPerPound / sheets / (size.W * size.H * inch * inch / 1e6)
}

// Weight is the weight of a paper. The zero value is not given.
type Weight struct {
	GSM    float64 // g/m2
	Pounds float64 // 0 unless it was given in pounds
	Basis  Basis   // with Pounds
}

// Papers that are folded and sewn into books, in g/m2.
const (
	lightest = 20.0
	heaviest = 500.0
)

func (w Weight) String() string {
	if w == (Weight{}) {
		return ""
	}
	if w.Pounds > 0 {
		return fmt.Sprintf("%slb-%s", Millimetres(w.Pounds), w.Basis)
	}
	return fmt.Sprintf("%sg", Millimetres(w.GSM))
}

func (w Weight) MarshalText() ([]byte, error) { return []byte(w.String()), nil }

// UnmarshalText reads 80 or 80g, which are g/m2, or pounds with their kind of
// paper: 20lb-bond, 60lb-text, 65lb-cover, 110lb-index.
func (w *Weight) UnmarshalText(text []byte) error {
	s := strings.ToLower(strings.TrimSpace(string(text)))
	number, kind, pounds := strings.Cut(s, "lb")
	if !pounds {
		number = strings.TrimSuffix(s, "g")
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if err != nil || !(v > 0) {
		return refusal.Use.New("weight %q is no weight of paper", text).Advise("write g/m2, such as 80, or pounds with their kind, such as 20lb-bond")
	}
	out := Weight{GSM: v}
	if pounds {
		i := slices.Index(basisWords.List, strings.TrimPrefix(kind, "-"))
		if i < 0 || !strings.HasPrefix(kind, "-") {
			return refusal.Use.New("weight %q does not say on which kind of paper the pounds are counted", text).Advise(poundChoices(v))
		}
		out.Basis = Basis(i + 1)
		out.Pounds, out.GSM = v, out.Basis.GSM(v)
	}
	if out.GSM < lightest || out.GSM > heaviest {
		return refusal.Use.New("weight %q would be %.0f g/m2", text, out.GSM).Advise(fmt.Sprintf("paper for books lies between %g and %g g/m2", lightest, heaviest))
	}
	*w = out
	return nil
}

// poundChoices is what so many pounds are on each kind of paper.
func poundChoices(pounds float64) string {
	var words []string
	for b := Bond; b <= IndexCard; b++ {
		words = append(words, fmt.Sprintf("%slb-%s (%.0f g/m2)", Millimetres(pounds), b, b.GSM(pounds)))
	}
	last := len(words) - 1
	return "write " + strings.Join(words[:last], ", ") + " or " + words[last]
}

// Caliper is the thickness of a leaf in millimetres: what is reckoned with,
// and between which bounds it lies.
type Caliper struct{ Least, Usual, Most float64 }

// OfficeCaliper is that of the paper that lies in most printers: 80 g/m2
// writing paper has about 0.10 mm (paper merchants' figure, "guide only").
var OfficeCaliper = Caliper{0.09, 0.10, 0.11}

// MeasuredCaliper is that of a paper that was measured.
func MeasuredCaliper(mm float64) Caliper { return Caliper{mm, mm, mm} }

// Exact tells whether the caliper was measured.
func (c Caliper) Exact() bool { return c.Least == c.Most }

// Times is the thickness of so many leaves.
func (c Caliper) Times(leaves int) Caliper {
	n := float64(leaves)
	return Caliper{n * c.Least, n * c.Usual, n * c.Most}
}

// Caliper estimates the thickness from the weight. Coated paper has about 0.8,
// office paper 1.3 and bulky paper 1.8 micrometres for each g/m2 (common
// practice, no source); office paper is what is reckoned with.
func (w Weight) Caliper() Caliper {
	const coated, office, bulky = 0.8e-3, 1.3e-3, 1.8e-3
	return Caliper{w.GSM * coated, w.GSM * office, w.GSM * bulky}
}
