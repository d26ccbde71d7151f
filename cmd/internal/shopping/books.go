package shopping

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/joblog"
	"foldwright/cmd/internal/measure"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/printing"
	"foldwright/cmd/internal/visible"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Book is a volume of a job.
type Book struct {
	Name    string
	Copies  int
	Sheet   binding.Sheet // zero: it is not sewn
	Paper   string
	Sheets  int      // of paper to buy, with those to spare, for all copies
	Printed bool     // by this program: the paper is there
	Sewn    bool     // its block was measured: paper and thread are there
	Missing []string // what has to be measured before boards and cloth may be cut, as options say it
}

// isMeasured tells whether its boards and cloth may be cut.
func (b Book) isMeasured() bool { return b.Sheet.Firm }

// hasStructure tells whether it is bound in a way that is known, as books whose leaves are not sewn are not.
func (b Book) hasStructure() bool { return b.Sheet.Structure.Name != "" }

// Gather reads what the jobs in folders need. The errors are those of [plan.Read], of the logs and of
// [measure.Asked.Sheets].
func Gather(folders []string, o Options) (books []Book, err error) {
	seen := map[string]bool{}
	for _, folder := range folders {
		clean := filepath.Clean(folder)
		if seen[clean] {
			return nil, refusal.Use.New("%s is named twice", folder).Advise("for several copies prepare the book with %s", phrase.Set("copies"))
		}
		seen[clean] = true
		of, err := gather(folder, o)
		if err != nil {
			return nil, err
		}
		books = append(books, of...)
	}
	return books, nil
}

func gather(folder string, o Options) (books []Book, err error) {
	made, err := plan.Read(folder)
	if err != nil {
		return nil, err
	}
	log, err := joblog.Read(folder)
	if err != nil {
		return nil, err
	}
	of, err := joblog.PlanOf(folder)
	if err != nil {
		return nil, err
	}
	j, err := printing.Read(folder)
	if err != nil {
		return nil, err
	}
	one := Book{Name: nameOf(folder), Copies: max(1, made.Copies), Paper: paperOf(made.Paper), Printed: j.IsDone(made)}
	if made.Options.Fold.Scheme().Strip {
		one.Sheets = made.Sheets + max(2, (made.Sheets+9)/10)
		return []Book{one}, nil
	}
	blocks, err := made.Bench(folder)
	if err != nil {
		return nil, err
	}
	for v := range blocks {
		b, asked := one, measure.FromLog(log, folder, of, v+1)
		asked.Units = o.Units
		sheets, err := asked.Sheets(folder, made, o.Style)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", folder, err)
		}
		b.Sheet, b.Sewn = sheets[0], asked.Measured.Block > 0
		if len(blocks) > 1 {
			b.Name += fmt.Sprintf(", volume %d", v+1)
		}
		if f, ok := figure(b.Sheet, binding.SheetsToBuy); ok {
			b.Sheets = b.Copies * int(f.Amount.Most)
		}
		for _, option := range b.Sheet.Structure.Missing(asked.Measured) {
			b.Missing = append(b.Missing, phrase.Set(option).In(o.Style))
		}
		books = append(books, b)
	}
	return books, nil
}

// nameOf is what a job is called in a list.
func nameOf(folder string) string {
	if abs, err := filepath.Abs(folder); err == nil {
		folder = abs
	}
	return visible.Text(strings.TrimSuffix(filepath.Base(folder), "-print"))
}

func paperOf(p plan.Paper) string {
	text := p.Size.String()
	if word := p.Word(); word != text {
		text = word + ", " + text
	}
	if p.Own != "" {
		text = p.Own + ", " + text
	}
	if p.Grain != 0 {
		text += ", grain along the " + p.Grain.String() + " edge"
	}
	return text
}

// figure is the figure of a name, if the sheet has it.
func figure(s binding.Sheet, name string) (binding.Figure, bool) {
	for _, f := range slices.Concat(s.Before, s.After) {
		if f.Name == name {
			return f, true
		}
	}
	return binding.Figure{}, false
}
