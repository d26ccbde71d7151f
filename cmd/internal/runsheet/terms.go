package runsheet

// term is a trade word in the form in which a sentence needs it.
type term struct{ word, shown string }

// as is the word in another form.
func (t term) as(shown string) term { return term{t.word, shown} }

func word(w string) term { return term{w, w} }

var (
	wProfile     = word("profile")
	wTray        = word("tray")
	wDelivery    = word("delivery")
	wPrinterTest = word("printer test")
	wFront       = word("front")
	wGathering   = word("gathering")
	wLeaf        = word("leaf")
	wSpine       = word("spine")
	wTrim        = word("trim")
	wCreep       = word("creep")
	wVolume      = word("volume")
	wRun         = word("run")
	wPrintDialog = word("print dialog")
	wTwoSided    = word("two-sided")
	wFlipLong    = word("flip on long edge")
	wFan         = word("fan")
	wSideName    = word("side name")
	wDoubleFeed  = word("double feed")
	wGrain       = word("grain")
	wInset       = word("inset")
	wCollate     = word("collate")
	wBolt        = word("bolt")
	wStab        = word("stab")
	wPierce      = word("pierce")
	wRound       = word("round and back")
	wLine        = word("line")
	wCase        = word("case")
)

// meanings explain the trade words to a beginner, each once, below the
// sentence in which the word first stands.
var meanings = map[string]string{
	wProfile.word: "what is known of one way through one printer: its tray, its delivery, " +
		"the kind of paper and the computer that sends.",
	wTray.word: "where paper lies before it is printed, a drawer or a slot. " +
		"In an upright slot the face that looks at you counts as the upper one, and the lower edge as the edge nearest you.",
	wDelivery.word:    "where printed sheets come out and lie on each other.",
	wPrinterTest.word: "a sheet printed on both faces from which one reads what a printer does with paper.",
	wFront.word:       "the face of a sheet that is printed first. The other face is its back.",
	wGathering.word:   "sheets that are folded, put into each other and sewn through their fold. A book is gatherings on top of each other.",
	wLeaf.word:        "half of a folded sheet: two pages, back to back.",
	wSpine.word:       "the edge of a book at which its folds lie and are sewn.",
	wTrim.word:        "to cut the edges of the sewn book even.",
	wCreep.word:       "how far, because of the paper's thickness, the leaves inside a gathering stand out beyond those around them, at the edge across from the spine.",
	wVolume.word:      "one of the books into which a long text is divided.",
	wRun.word:         "the sheets that are printed together.",
	wPrintDialog.word: "the window in which the computer asks how to print.",
	wTwoSided.word:    "the printer turns each sheet and prints both its faces by itself. Many dialogs call it duplex.",
	wFan.word:         "bend the stack to and fro and let its edges slip over each other, so that no two sheets cling together.",
	wFlipLong.word: "the setting with which a sheet is turned over like the page of a book, about one of the two longer edges of the paper. " +
		"Its other setting is flip on short edge. Some dialogs say long-edge binding and short-edge binding, or show pictures of it.",
	wSideName.word: "a line of small grey text along the fold, in the middle between the pages, or at the edge where no fold is sewn. " +
		"It says which sheet this is, and whether you look at its front or its back.",
	wDoubleFeed.word: "the printer takes two sheets from the tray at once, and one of them stays blank.",
	wGrain.word:      "the direction in which most fibres of a paper lie.",
	wInset.word:      "put one folded sheet into the fold of another.",
	wPierce.word:     "prick the holes for the thread into the folds.",
	wRound.word:      "tap the spine into a curve, and bend the outer folds over to both sides as shoulders for the boards.",
	wLine.word:       "glue strips of cloth and paper onto the spine.",
	wCase.word:       "the cover: two boards and a strip for the spine, all covered with cloth.",
	wBolt.word:       "a fold at an edge other than the spine, which is cut open before the book can be read.",
	wStab.word:       "pierce all leaves from front to back near the edge and sew through the holes.",
	wCollate.word:    "look through a book to see that every page is there once, in its order.",
}
