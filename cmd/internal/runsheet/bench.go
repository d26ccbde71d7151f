package runsheet

import (
	"fmt"
	"strings"

	"foldwright/cmd/internal/binding"
)

const benchAnchor = "bench"

// benchPart is the figures that a binder needs before sewing, of each volume, and what is
// left to be measured.
func benchPart(volumes []binding.Sheet, folder string) Part {
	part := Part{Anchor: benchAnchor, Heading: "Figures for the bench"}
	for i, sheet := range volumes {
		known := Stage{Heading: "Known before sewing", Notes: []Note{figuresNote(sheet), stationsNote(sheet)}}
		if len(volumes) > 1 {
			known.Heading = fmt.Sprintf("Volume %d, known before sewing", i+1)
		}
		for _, advice := range sheet.Advice {
			known.Notes = append(known.Notes, Text{Lead: say("Advice: {}.", advice)})
		}
		part.Stages = append(part.Stages, known)
	}
	part.Stages = append(part.Stages, Stage{Heading: "To be measured later", Notes: []Note{measureLaterNote(volumes[0].Structure, folder)}})
	return part
}

// figuresNote is the figures that are known before sewing.
func figuresNote(sheet binding.Sheet) Text {
	t := Text{Lead: say("Figures for {}. What is only an estimate is a range:", markTerms(sheet.Structure.Title))}
	for _, f := range sheet.Before {
		t.List = append(t.List, say("{}: {} ({})", f.Name, amount(f.Value), f.Why()))
	}
	t.More = []Sentence{say("If you bind it otherwise, prepare the book again with {} and the name of another way of binding; {} lists them.",
		literal("--structure"), literal("foldwright structures"))}
	return t
}

// markTerms is the title of a way of binding, its trade words marked to be explained.
func markTerms(title string) Sentence {
	for _, w := range []term{wCase, wStab} {
		if before, after, found := strings.Cut(title, w.word); found {
			return say("{}{}{}", before, w, after)
		}
	}
	return say("{}", title)
}

// stationsNote is where the holes are pierced.
func stationsNote(sheet binding.Sheet) Text {
	head, side := sheet.Book.Trim.Head, sheet.Structure.Sewn == binding.Side
	end, _ := sheet.Book.Ends()
	t := Text{Lead: say("Stations, where you {}, from the {}:", wPierce, end)}
	if head > 0 {
		what := "fold"
		if side {
			what = "leaves"
		}
		t.Lead = say("Stations, where you {} before you {}, from the {} of the untrimmed {}:", wPierce, wTrim, end, what)
	}
	for _, h := range sheet.Stations.Holes {
		t.List = append(t.List, say("{}: {}", h, amount(sheet.Units.Length(binding.Exactly(h.At+head)))))
	}
	if side {
		t.More = append(t.More, say("They go through all leaves, {} from the back edge.", amount(sheet.Units.Length(sheet.Structure.FromBack.Exactly()))))
	}
	for _, n := range sheet.Stations.Notes {
		t.More = append(t.More, say("Note: {}.", n))
	}
	return t
}

// measureLaterNote is what a person measures of the sewn block.
func measureLaterNote(structure binding.Structure, folder string) Text {
	lead := say("Cut no board and no cloth by estimates. When the block is sewn and pressed, measure how thick it is at the edge across from the spine, the width and height of a leaf, the spine over its curve and the board.")
	flags := []literal{"--block-thickness", "--leaf-size", "--back", "--board"}
	switch {
	case structure.Cover == binding.Paper:
		lead = say("Cut the cover last. When the leaves are folded and pressed, measure how thick the block is, and the width and height of a leaf.")
		flags = flags[:2]
	case structure.Back == binding.Flat:
		lead = say("Cut no board and no cloth by estimates. When the block is sewn and pressed, measure how thick it is, the width and height of a leaf, and the board.")
		flags = []literal{"--block-thickness", "--leaf-size", "--board"}
	}
	return Text{
		Lead: lead,
		More: []Sentence{
			say("Tell what you have measured to {}, with {}. It then gives every further measure.", literal("foldwright measure "+quote(folder)), joinList(flags)),
			say("With {} and the name of a new folder it also writes {} and {}, to be printed and laid beside the work.", literal("--out"), literal("bench-sheet.pdf"), literal("piercing-guide.pdf")),
		},
	}
}
