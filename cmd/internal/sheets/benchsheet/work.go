package benchsheet

import "foldwright/reorder/binding"

// The order of work is common practice, without a source.

// firstWork is the steps before the block is measured.
func (b BenchSheet) firstWork() []string {
	switch s := b.Sheet.Structure; {
	case s.Sewn == binding.Side:
		return []string{
			"Knock the leaves even at the back and clamp them between boards.",
			"Pierce through all leaves and the covers, by the piercing guide.",
			"Sew through the holes, around the back and around both its ends; tie off.",
			"Press.",
		}
	case s.Cover == binding.Paper:
		return []string{
			"Press the folded gatherings, best over night. Check that the pages follow each other.",
			"Cut the cover, its grain along the back. Score and fold it.",
			"Pierce the folds and the cover, by the piercing guide.",
			"Sew; tie off. Press.",
			"Trim, if anything is to be trimmed.",
		}
	}
	return []string{
		"Press the folded gatherings, best over night. Check that the pages follow each other.",
		"Fold the end-papers.",
		"Pierce the folds before anything is trimmed, by the piercing guide.",
		"Set up the supports, if there are any, and sew. Pull each thread along the fold, never away from it.",
		"Glue up the back. Let it set, but not dry hard.",
		"Trim, if anything is to be trimmed.",
		"If the back is to be round: round it, and back it over the edges of the press.",
		"Line the back. Press.",
		"Measure the block, and go on with the second sheet.",
	}
}

// firstCares is the cautions before the block is measured.
var firstCares = []string{
	"Needles and awls: stuck into a cork when you put them down, counted before and after, no finger behind the fold.",
	"Knives: along a metal straightedge, with several light strokes, the fingers behind its edge. Old blades go into a container of their own.",
	"The rules of the place where you work come first.",
}

// secondWork is the steps from the measured block to the book.
func (b BenchSheet) secondWork() []string {
	if b.Sheet.Structure.Cover == binding.Boards {
		return []string{
			"Fill in the boxes above. Cut the boards.",
			"Fasten the boards to the supports.",
			"Cut the cover, pare its edges if it is leather, cover the book, turn in.",
			"Paste the end-papers down. Press between boards until dry.",
		}
	}
	return []string{
		"Fill in the boxes above. Cut boards and spine strip.",
		"Lay them around the block and look before the cloth is cut.",
		"Cut the cloth. Make the case, turn in, press.",
		"Hang the block in and press until dry.",
	}
}

// secondCares is the cautions with boards and glue.
var secondCares = []string{
	"Boards are cut with many light strokes along a metal straightedge that is held down, or at a shop.",
	"Glue and leather dust: open a window, and wear a mask where there is dust. Use only adhesives made for the purpose.",
}
