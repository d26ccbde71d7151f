package runsheet

import (
	"fmt"
	"strings"

	"foldwright/reorder/binding"
)

// Bench is what is known of a volume before it is sewn.
type Bench struct {
	Volume int // its number; 0 if there is only one
	Sheet  binding.Sheet
	Units  binding.Units
}

const benchAnchor = "bench"

// figuresPart is the figures that a binder needs before sewing, and what is
// left to be measured.
func figuresPart(bench []Bench, folder string) Part {
	part := Part{Anchor: benchAnchor, Heading: "Figures for the bench"}
	for _, b := range bench {
		known := Stage{Heading: "Known before sewing", Notes: []Note{BenchFigures{b}, StationList{b}}}
		if b.Volume > 0 {
			known.Heading = fmt.Sprintf("Volume %d, known before sewing", b.Volume)
		}
		for _, advice := range b.Sheet.Advice {
			known.Notes = append(known.Notes, BenchAdvice{advice})
		}
		part.Stages = append(part.Stages, known)
	}
	if len(bench) > 0 {
		part.Stages = append(part.Stages, Stage{Heading: "To be measured later", Notes: []Note{MeasureLater{bench[0].Sheet.Structure, folder}}})
	}
	return part
}

// BenchFigures is the figures that are known before sewing.
type BenchFigures struct{ Bench }

func (b BenchFigures) Text() Text {
	t := Text{Lead: say("Figures for {}. What is only an estimate is a range:", titled(b.Sheet.Structure.Title))}
	for _, f := range b.Sheet.Before {
		from := f.From.In(b.Units)
		if f.IsEstimate() {
			from = "estimate: " + from
		}
		t.List = append(t.List, say("{}: {} ({})", f.Name, amount(f.Value(b.Units)), from))
	}
	t.More = []Sentence{say("If you bind it otherwise, prepare the book again with {} and the name of another way of binding; {} lists them.",
		literal("--structure"), literal("foldwright structures"))}
	return t
}

// titled is the title of a way of binding, in which trade words are to be explained.
func titled(title string) Sentence {
	for _, w := range []term{wCase, wStab} {
		if before, after, found := strings.Cut(title, w.word); found {
			return say("{}{}{}", before, w, after)
		}
	}
	return say("{}", title)
}

// StationList is where the holes are pierced.
type StationList struct{ Bench }

func (l StationList) Text() Text {
	head := l.Sheet.Book.Trim.Head
	end, _ := l.Sheet.Book.Ends()
	t := Text{Lead: say("Stations, where you {}, from the {}:", wPierce, end)}
	if head > 0 {
		t.Lead = say("Stations, where you {} before you {}, from the {} of the untrimmed fold:", wPierce, wTrim, end)
		if l.Sheet.Structure.Sewn == binding.Side {
			t.Lead = say("Stations, where you {} before you {}, from the {} of the untrimmed leaves:", wPierce, wTrim, end)
		}
	}
	for _, h := range l.Sheet.Stations.Holes {
		t.List = append(t.List, say("{}: {}", h, amount(l.Units.Length(binding.Exactly(h.At+head)))))
	}
	if l.Sheet.Structure.Sewn == binding.Side {
		t.More = append(t.More, say("They go through all leaves, {} from the back edge.", amount(l.Units.Length(l.Sheet.Structure.FromBack.Exactly()))))
	}
	for _, n := range l.Sheet.Stations.Notes {
		t.More = append(t.More, say("Note: {}.", n.In(l.Units)))
	}
	return t
}

// BenchAdvice is what should be thought of before sewing.
type BenchAdvice struct{ Advice string }

func (a BenchAdvice) Text() Text { return Text{Lead: say("Advice: {}.", a.Advice)} }

// MeasureLater is what a person measures of the sewn block.
type MeasureLater struct {
	Structure binding.Structure
	Folder    string // of the job
}

func (m MeasureLater) Text() Text {
	lead := say("Cut no board and no cloth by estimates. When the block is sewn and pressed, measure how thick it is at the edge across from the spine, the width and height of a leaf, the spine over its curve and the board.")
	flags := []string{"--block-thickness", "--leaf-size", "--back", "--board"}
	switch {
	case m.Structure.Cover == binding.Paper:
		lead = say("Cut the cover last. When the leaves are folded and pressed, measure how thick the block is, and the width and height of a leaf.")
		flags = flags[:2]
	case m.Structure.Back == binding.Flat:
		lead = say("Cut no board and no cloth by estimates. When the block is sewn and pressed, measure how thick it is, the width and height of a leaf, and the board.")
		flags = []string{"--block-thickness", "--leaf-size", "--board"}
	}
	return Text{
		Lead: lead,
		More: []Sentence{
			say("Tell what you have measured to {}, with {}. It then gives every further measure.", literal("foldwright measure "+quoted(m.Folder)), listed(flags)),
			say("With {} and the name of a new folder it also writes {} and {}, to be printed and laid beside the work.", literal("--out"), literal("bench-sheet.pdf"), literal("piercing-guide.pdf")),
		},
	}
}
