package benchsheet

import "foldwright/cmd/internal/binding"

// Work is a stage of the work at the bench.
type Work struct {
	Heading string
	Steps   []string // in order
	Cares   []string
}

// Order is the work with a way of binding: what comes before the block is measured and, where there are boards,
// what comes after. The order of work is common practice, without a source.
func Order(s binding.Structure) []Work {
	if s.Cover == binding.Paper {
		return []Work{{"The whole work", firstWork(s), firstCares}}
	}
	return []Work{{"Before the block is measured", firstWork(s), firstCares}, {"Boards and cover", secondWork(s), secondCares}}
}

const (
	pressAndCheck = "Press the folded gatherings, overnight if you can. Check that the pages follow each other."
	pierceByGuide = "Pierce the folds by the piercing guide, before you trim anything."
)

func firstWork(s binding.Structure) []string {
	switch {
	case s.Sewn == binding.Side:
		return []string{
			"Knock the leaves even at the spine and clamp them between boards.",
			"Pierce through the covers and all leaves, by the piercing guide.",
			"Sew through the holes, around the spine and around both its ends. Tie off.",
			"Press.",
		}
	case s.Cover == binding.Paper && s.Sewn == binding.Folds:
		return []string{
			pressAndCheck,
			pierceByGuide,
			"Sew. Pull the thread along the fold, never away from it. Tie off.",
			"Glue up the spine. Let it dry.",
			"Trim, if anything is to be trimmed. Measure the block.",
			"Cut the cover with its grain along the spine. Score and fold it, glue it to the spine, and press.",
		}
	case s.Cover == binding.Paper:
		return []string{
			pressAndCheck,
			"Cut the cover with its grain along the spine. Score and fold it.",
			"Pierce the folds and the cover, by the piercing guide.",
			"Sew. Tie off. Press.",
			"Trim, if anything is to be trimmed.",
		}
	}
	return []string{
		pressAndCheck,
		"Fold the endpapers.",
		pierceByGuide,
		"Set up the cords or tapes, if there are any, and sew. Pull the thread along the fold, never away from it.",
		"Glue up the spine. Let it set, but not dry hard.",
		"Trim, if anything is to be trimmed.",
		"If the spine is to be round: round it, and back it over the edges of the press.",
		"Line the spine. Press.",
		"Measure the block, and go on with boards and cover.",
	}
}

// firstCares is the cautions before the block is measured.
var firstCares = []string{
	"Needles and awls: stick them into a cork when you put them down, count them before and after, and never put a finger behind the fold.",
	"Knives: cut along a metal straightedge with several light strokes, your fingers behind its edge. Put old blades into a container of their own.",
	"The rules of the place where you work come first.",
}

// secondWork is the steps from the measured block to the book.
func secondWork(s binding.Structure) []string {
	if s.Cover == binding.Boards {
		return []string{
			"Fill in the boxes above. Cut the boards.",
			"Fasten the boards to the cords or tapes.",
			"Cut the cover. If it is leather, pare its edges. Cover the book and turn in the edges.",
			"Paste down the endpapers. Press between boards until dry.",
		}
	}
	return []string{
		"Fill in the boxes above. Cut the boards and the spine strip.",
		"Lay them around the block, and check the fit before you cut the cloth.",
		"Cut the cloth. Make the case, turn in the edges, press.",
		"Put the block into the case and press until dry.",
	}
}

// secondCares is the cautions with boards and glue.
var secondCares = []string{
	"Boards: cut with many light strokes along a metal straightedge that is held down, or have a shop cut them.",
	"Glue and leather dust: open a window, and wear a mask where there is dust. Use only adhesives made for the purpose.",
}
