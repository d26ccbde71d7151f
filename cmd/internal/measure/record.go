package measure

import (
	"foldwright/cmd/internal/binding"
	"foldwright/reorder/phrase"
)

// Record is the figures of a volume for programs: lengths in mm, weights in grams, what is only estimated
// as the least and the most of it.
type Record struct {
	Structure  string        `json:"structure"`
	Leaves     int           `json:"leaves"`
	Gatherings int           `json:"gatherings"`
	Sheets     int           `json:"sheets"`
	LeafWMM    float64       `json:"leaf-width-mm"`
	LeafHMM    float64       `json:"leaf-height-mm"`
	BlockMM    binding.Range `json:"block-mm"`
	SwellingMM binding.Range `json:"swelling-mm"`
	SpineMM    binding.Range `json:"spine-mm"`
	StationsMM []float64     `json:"stations-mm"` // from the trimmed head
	// ForCutting tells whether boards and cloth may be cut by the figures: block, spine and board were measured.
	ForCutting bool           `json:"for-cutting"`
	Before     []FigureRecord `json:"before-sewing"`
	After      []FigureRecord `json:"boards-and-cover"`
	Advice     []string       `json:"advice"`
}

// FigureRecord is a figure: its text for people, and what it is in numbers.
type FigureRecord struct {
	Name     string        `json:"name"`
	Text     string        `json:"text"`
	Amount   binding.Range `json:"amount"`          // of a piece its width
	Height   binding.Range `json:"height,omitzero"` // of a piece
	Estimate bool          `json:"estimate"`
	From     string        `json:"from"`
}

// RecordOf is a sheet for programs; the style writes the options that are named.
func RecordOf(sheet binding.Sheet, style phrase.Style) Record {
	book := sheet.Book
	r := Record{
		Structure: sheet.Structure.Name, Leaves: book.Leaves, Gatherings: book.Gatherings, Sheets: book.Sheets,
		LeafWMM: book.Leaf.W, LeafHMM: book.Leaf.H, BlockMM: sheet.Block, SwellingMM: sheet.Swelling, SpineMM: sheet.Thick,
		StationsMM: sheet.Stations.Places(), ForCutting: sheet.Firm, Advice: append([]string{}, sheet.Advice...),
	}
	list := func(figures []binding.Figure) []FigureRecord {
		out := []FigureRecord{}
		for _, f := range figures {
			out = append(out, FigureRecord{f.Name, f.Value, f.Amount, f.Height, f.IsEstimate(), f.Why(style)})
		}
		return out
	}
	r.Before, r.After = list(sheet.Before), list(sheet.After)
	return r
}
