package runsheet

import (
	"fmt"
	"slices"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/reorder/geom"
)

// Mark tells how a span of a sentence is set.
type Mark int

const (
	Plain   Mark = iota + 1
	Literal      // stands somewhere exactly so: a file's name, a side name, an option
	Word         // a trade word, explained where it first stands
	Link         // leads to another part of the sheet
)

// Span is a stretch of a sentence that is set in one way.
type Span struct {
	Mark Mark
	Text string
	To   string // of a Word its plain form, of a Link the part's anchor
	Says string // of a Word its meaning
}

// Sentence is one or more sentences of running text.
type Sentence []Span

func (s Sentence) String() string {
	var b strings.Builder
	for _, span := range s {
		b.WriteString(span.Text)
	}
	return b.String()
}

// literal is text that stands somewhere exactly so.
type literal string

// link is the heading of another part and its anchor.
type link struct{ text, to string }

// say fills the gaps {} of a text. A literal, a term and a link keep what
// they are; everything else becomes plain text. A gap for which nothing is
// given stays to be seen.
func say(text string, args ...any) Sentence {
	var out Sentence
	for i, piece := range strings.Split(text, "{}") {
		if i > 0 {
			if i > len(args) {
				out = out.addPlain("{}")
			} else {
				out = out.addValue(args[i-1])
			}
		}
		out = out.addPlain(piece)
	}
	return out
}

func (s Sentence) addValue(arg any) Sentence {
	switch v := arg.(type) {
	case literal:
		return append(s, Span{Mark: Literal, Text: string(v)})
	case term:
		return append(s, Span{Mark: Word, Text: v.shown, To: v.word, Says: v.says})
	case link:
		return append(s, Span{Mark: Link, Text: v.text, To: v.to})
	case Sentence:
		return append(s, v...)
	}
	return s.addPlain(fmt.Sprint(arg))
}

// addPlain adds plain text, joined to plain text before it.
func (s Sentence) addPlain(text string) Sentence {
	if text == "" {
		return s
	}
	if n := len(s); n > 0 && s[n-1].Mark == Plain {
		s[n-1].Text += text
		return s
	}
	return append(s, Span{Mark: Plain, Text: text})
}

// length writes a length in the job's unit, and then in the other one.
func (j Job) length(mm float64) string {
	if j.Units == binding.Inches {
		return fmt.Sprintf("%s (%s mm)", j.Units.Length(binding.Exactly(mm)), tenths(mm))
	}
	return fmt.Sprintf("%s mm (%s in)", tenths(mm), inches(mm))
}

// size writes width and height in the job's unit, and then in the other one.
func (j Job) size(s geom.Size) string {
	in := fmt.Sprintf("%s x %s in", inches(s.W), inches(s.H))
	if j.Units == binding.Inches {
		return fmt.Sprintf("%s (%s)", in, s)
	}
	return fmt.Sprintf("%s (%s)", s, in)
}

func tenths(mm float64) string { return trimNoughts(fmt.Sprintf("%.1f", mm)) }

func inches(mm float64) string { return trimNoughts(fmt.Sprintf("%.2f", mm/25.4)) }

// trimNoughts is a decimal number without noughts at its end.
func trimNoughts(s string) string { return strings.TrimRight(strings.TrimRight(s, "0"), ".") }

// paperAndSize is the paper's name and its size in both units.
func (j Job) paperAndSize() string {
	name := j.Paper.Word()
	if name == j.Paper.Size.String() {
		name = "own size"
	}
	return name + ", " + j.size(j.Paper.Size)
}

// term is a trade word with its meaning, in the form in which a sentence needs it.
type term struct{ word, says, shown string }

// as is the word in another form.
func (t term) as(shown string) term { return term{t.word, t.says, shown} }

func word(w, says string) term { return term{w, says, w} }

// The trade words, with what they mean to a beginner.
var (
	wProfile = word("profile", "what is known of one way through one printer: its tray, its delivery, "+
		"the kind of paper and the computer you print from")
	wTray = word("tray", "where paper lies before it is printed, a drawer or a slot. "+
		"In an upright slot the side that looks at you counts as the upper one, and the lower edge as the edge nearest you")
	wDelivery    = word("delivery", "where printed sheets come out and lie on each other")
	wTestSheet   = word("test sheet", "a sheet printed on both sides that shows what a printer does with paper")
	wFront       = word("front", "the side of a sheet that is printed first. The other side is its back")
	wGathering   = word("gathering", "sheets that are folded, nested and sewn through their fold. A book is gatherings on top of each other")
	wLeaf        = word("leaf", "one thickness of the folded paper, a page on each side")
	wSpine       = word("spine", "the edge of a book at which its folds lie and are sewn")
	wTrim        = word("trim", "to cut the edges of the sewn book even")
	wCreep       = word("creep", "how far, because of the paper's thickness, the leaves inside a gathering stand out beyond those around them, at the edge across from the spine")
	wVolume      = word("volume", "one of the books into which a long text is divided")
	wRun         = word("run", "the sheets that are printed together")
	wPrintDialog = word("print dialog", "the window that opens when you choose Print")
	wTwoSided    = word("two-sided", "the printer turns each sheet and prints both its sides by itself. Many dialogs call it duplex")
	wFlipLong    = word("flip on long edge", "the setting with which a sheet is turned over like the page of a book, about one of the two longer edges of the paper. "+
		"Its other setting is flip on short edge. Some dialogs say long-edge binding and short-edge binding, or show pictures of it")
	wFan      = word("fan", "bend the stack to and fro and let its edges slip over each other, so that no two sheets cling together")
	wSideName = word("side name", "a line of small grey text along the fold, in the middle between the pages, or at the edge where no fold is sewn. "+
		"It says which sheet this is, and whether you look at its front or its back")
	wDoubleFeed = word("double feed", "the printer takes two sheets from the tray at once, and one of them stays blank")
	wGrain      = word("grain", "the direction in which most fibres of a paper lie")
	wNest       = word("nest", "put one folded sheet into the fold of another")
	wCollate    = word("collate", "look through a book to see that every page is there once, in its order")
	wBolt       = word("bolt", "a fold at an edge other than the spine, which is cut open before the book can be read")
	wStab       = word("stab", "pierce all leaves from front to back near the edge and sew through the holes")
	wPierce     = word("pierce", "prick the holes for the thread into the folds")
	wRound      = word("round and back", "tap the spine into a curve, and bend the outer folds over to both sides as shoulders for the boards")
	wLine       = word("line", "glue strips of cloth and paper onto the spine")
	wCase       = word("case", "the cover: two boards and a strip for the spine, all covered with cloth")
)

// Text is what a note or a step says.
type Text struct {
	Lead      Sentence     // what to do or to know
	List      []Sentence   // what the lead speaks of, item by item
	Table     [][]Sentence // the same in columns, below their heads
	Else      Sentence     // where to read on if it is not so
	More      []Sentence   // how and why: behind a tap
	Important bool         // must not be overlooked
}

// text is one whose lead is these words, with the gaps filled as [say] does.
func text(lead string, args ...any) Text { return Text{Lead: say(lead, args...)} }

// item adds to what the lead speaks of.
func (t Text) item(text string, args ...any) Text {
	t.List = append(slices.Clip(t.List), say(text, args...))
	return t
}

// orElse says where to read on if it is not so.
func (t Text) orElse(text string, args ...any) Text {
	t.Else = say(text, args...)
	return t
}

// markImportant marks what must not be overlooked.
func (t Text) markImportant() Text {
	t.Important = true
	return t
}

// why adds to what stands behind a tap.
func (t Text) why(text string, args ...any) Text {
	t.More = append(slices.Clip(t.More), say(text, args...))
	return t
}

// Text makes of a text a note or a step that says it, for what no hand acts on by its facts.
func (t Text) Text() Text { return t }

// sentences is all of a text but what is behind a tap.
func (t Text) sentences() []Sentence {
	out := append([]Sentence{t.Lead}, t.List...)
	for _, row := range t.Table {
		out = append(out, row...)
	}
	return append(out, t.Else)
}
