package runsheet

import (
	"fmt"

	"foldwright/cmd/internal/binding"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

const benchAnchor = "bench"

// benchPart is the figures that a binder needs before sewing, of each volume, and what is
// left to be measured.
func benchPart(volumes []binding.Sheet, p Program) Part {
	part := Part{Anchor: benchAnchor, Heading: "Figures for the bench", Shut: true}
	for i, sheet := range volumes {
		known := Stage{Heading: "Known before sewing", Notes: []Note{figuresNote(sheet, p), stationsNote(sheet)}}
		if len(volumes) > 1 {
			known.Heading = fmt.Sprintf("Volume %d, known before sewing", i+1)
		}
		part.Stages = append(part.Stages, known)
	}
	part.Stages = append(part.Stages, Stage{Heading: "To be measured later", Notes: []Note{measureLaterNote(volumes[0].Structure, p)}})
	return part
}

// sewStep is where to pierce, how much thread to cut, and what the swelling asks for.
func sewStep(sheet binding.Sheet) Text {
	what := say("{}", wPierce.as("Pierce"))
	if sheet.Structure.Sewn == binding.Side {
		what = say("{} the leaves {} from the {},", wStab.as("Stab"), sheet.Units.Length(sheet.Structure.FromSpine), wSpine)
	}
	places := lists.Map(sheet.Stations.Holes, func(h binding.Station) string { return sheet.Units.Bare(binding.Exactly(h.At + sheet.Book.Trim.Head)) })
	end, _ := sheet.Book.Ends()
	t := text("{} at {} {} from the {}", what, refusal.List(places, "and"), sheet.Units, end)
	if sheet.Book.Trim.Head > 0 {
		t.Lead = say("{}, before you {}", t.Lead, wTrim)
	}
	for _, f := range sheet.Before {
		if f.Name == binding.ThreadToCut {
			t.Lead = say("{}. Cut {} of thread", t.Lead, f.Value)
		}
	}
	t.Lead = say("{}.", t.Lead)
	t.List = lists.Map(sheet.Advice, func(advice string) Sentence { return say("Advice: {}.", advice) })
	return t
}

var oneCopyNote = Text{Lead: say("These figures are for one copy.")}

func figuresNote(sheet binding.Sheet, p Program) Text {
	t := text("Figures for {}. A range is an estimate:", sheet.Structure.Title)
	t.List = lists.Map(sheet.Before, func(f binding.Figure) Sentence { return say("{}: {} ({})", f.Name, f.Value, f.Why(p.Style)) })
	t.More = []Sentence{say("For another way of binding, prepare the book again with {} and its name; {} lists them.",
		p.setting(phrase.Set("structure")), p.other("structures"))}
	return t
}

func stationsNote(sheet binding.Sheet) Text {
	head := sheet.Book.Trim.Head
	end, _ := sheet.Book.Ends()
	t := text("Stations, where you {}, from the {}:", wPierce, end)
	if head > 0 {
		t.Lead = say("Stations, where you {} before you {}, from the untrimmed {}:", wPierce, wTrim, end)
	}
	t.List = lists.Map(sheet.Stations.Holes, func(h binding.Station) Sentence {
		return say("{}: {}", sheet.Book.NameOf(h), sheet.Units.Length(binding.Exactly(h.At+head)))
	})
	t.More = lists.Map(sheet.Stations.Notes, func(n string) Sentence { return say("Note: {}.", n) })
	return t
}

// fromSpine is how far from the spine edge loose leaves are sewn through: as the bench has it, else as
// the built-in structure does.
func fromSpine(bench []binding.Sheet) string {
	if len(bench) > 0 && bench[0].Structure.Sewn == binding.Side {
		return bench[0].Units.Length(bench[0].Structure.FromSpine)
	}
	return "10 mm"
}

func measureLaterNote(structure binding.Structure, p Program) Text {
	lead, what, measures := "Don't cut boards or cloth from the estimates.", "its thickness", []string{"block-thickness", "leaf-size"}
	if structure.Spine == binding.Rounded {
		what, measures = what+" at the edge across from the spine, the spine over its curve", append(measures, "spine")
	}
	if structure.Cover == binding.Paper {
		lead = "Cut the cover last."
	} else {
		what, measures = what+", the board", append(measures, "board")
	}
	options := lists.Map(measures, func(key string) string { return string(p.setting(phrase.Set(key))) })
	return text("{} When the block is sewn and pressed, measure {}, and the width and height of a leaf.", lead, what).
		why("Enter your measurements with {}: {}. It then works out everything else.", p.command("measure"), refusal.List(options, "and")).
		why("With {} you also get {} and {}: print them and lay them beside your work.", p.command("measure", phrase.Set("out", "FOLDER")), literal("bench-sheet.pdf"), literal("piercing-guide.pdf"))
}
