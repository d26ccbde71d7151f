package runsheet

import (
	"fmt"

	"foldwright/cmd/internal/binding"
)

// Bench is what is known of a volume before it is sewn.
type Bench struct {
	Volume int // its number; 0 if there is only one
	Sheet  binding.Sheet
	Units  binding.Units
}

const benchAnchor = "bench"

// benchPart is the figures that a binder needs before sewing, and what is
// left to be measured.
func benchPart(bench []Bench, folder string) Part {
	part := Part{Anchor: benchAnchor, Heading: "Figures for the bench", Shut: true}
	for _, b := range bench {
		known := Stage{Heading: "Known before sewing", Notes: []Note{b.figuresNote(), b.stationsNote()}}
		if b.Volume > 0 {
			known.Heading = fmt.Sprintf("Volume %d, known before sewing", b.Volume)
		}
		part.Stages = append(part.Stages, known)
	}
	part.Stages = append(part.Stages, Stage{Heading: "To be measured later", Notes: []Note{measureLaterNote(bench[0].Sheet.Structure, folder)}})
	return part
}

// sewStep is where to pierce, how much thread to cut, and what the swelling asks for.
func (b Bench) sewStep() Text {
	t := Text{Lead: say("{} at ", wPierce.as("Pierce"))}
	if b.Sheet.Structure.Sewn == binding.Side {
		t.Lead = say("{} the leaves {} from the {}, at ", wStab.as("Stab"), b.Units.Length(b.Sheet.Structure.FromBack.Exactly()), wSpine)
	}
	if b.Volume > 0 {
		t.Lead = say("Volume {}: {}", b.Volume, t.Lead)
	}
	var places []string
	for _, h := range b.Sheet.Stations.Holes {
		places = append(places, b.Units.Bare(binding.Exactly(h.At+b.Sheet.Book.Trim.Head)))
	}
	end, _ := b.Sheet.Book.Ends()
	t.Lead = say("{}{} {} from the {}", t.Lead, joinList(places), b.Units, end)
	if b.Sheet.Book.Trim.Head > 0 {
		t.Lead = say("{}, before you {}", t.Lead, wTrim)
	}
	for _, f := range b.Sheet.Before {
		if f.Name == "thread, length" {
			t.Lead = say("{}. Cut {} of thread", t.Lead, f.Value(b.Units))
		}
	}
	t.Lead = say("{}.", t.Lead)
	for _, advice := range b.Sheet.Advice {
		t.List = append(t.List, say("Advice: {}.", advice))
	}
	return t
}

// figuresNote is the figures that are known before sewing.
func (b Bench) figuresNote() Text {
	t := Text{Lead: say("Figures for {}. What is only an estimate is a range:", b.Sheet.Structure.Title)}
	for _, f := range b.Sheet.Before {
		from := f.From.In(b.Units)
		if f.IsEstimate() {
			from = "estimate: " + from
		}
		t.List = append(t.List, say("{}: {} ({})", f.Name, f.Value(b.Units), from))
	}
	t.More = []Sentence{say("If you bind it otherwise, prepare the book again with {} and the name of another way of binding; {} lists them.",
		literal("--structure"), literal("foldwright structures"))}
	return t
}

// stationsNote is where the holes are pierced.
func (b Bench) stationsNote() Text {
	head := b.Sheet.Book.Trim.Head
	end, _ := b.Sheet.Book.Ends()
	t := Text{Lead: say("Stations, where you {}, from the {}:", wPierce, end)}
	if head > 0 {
		t.Lead = say("Stations, where you {} before you {}, from the untrimmed {}:", wPierce, wTrim, end)
	}
	for _, h := range b.Sheet.Stations.Holes {
		t.List = append(t.List, say("{}: {}", h, b.Units.Length(binding.Exactly(h.At+head))))
	}
	for _, n := range b.Sheet.Stations.Notes {
		t.More = append(t.More, say("Note: {}.", n.In(b.Units)))
	}
	return t
}

// measureLaterNote is what a person measures of the sewn block.
func measureLaterNote(structure binding.Structure, folder string) Text {
	first, what := "Don't cut boards or cloth from the estimates.", "how thick it is"
	if structure.Back == binding.Rounded {
		what += " at the edge across from the spine, the spine over its curve"
	}
	if what += ", the width and height of a leaf"; structure.Cover == binding.Paper {
		first = "Cut the cover last."
	} else {
		what += " and the board"
	}
	return Text{
		Lead: say("{} When the block is folded, sewn and pressed, measure {}.", first, what),
		More: []Sentence{
			say("Enter your measurements with {}. It then gives every further measure and, if you name a folder, writes {} and {}, to be printed and laid beside the work.",
				literal("foldwright measure "+quote(folder)), literal("bench-sheet.pdf"), literal("piercing-guide.pdf")),
		},
	}
}
