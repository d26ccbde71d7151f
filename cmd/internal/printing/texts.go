package printing

import (
	"fmt"
	"slices"
	"strings"

	"foldwright/cmd/internal/runsheet"
	"foldwright/printer"
	"foldwright/reorder"
)

// loadText says what is to lie in the tray before a step is printed: all of a load, or what
// is left of it. again says that the step prints sheets once more.
func (s *Session) loadText(left, whole Step, again bool) string {
	n := reorder.Count(len(left.Sheets), "sheet")
	top := s.topText(whole)
	if left.Pass != printer.BackPass {
		if whole.Portion > 1 || len(left.Sheets) < len(whole.Sheets) {
			return fmt.Sprintf("%s: empty the tray and lay %s of fresh %s paper into it. Leave what is printed in the delivery.", capitalize(left.Name()), n, s.paper.Word())
		}
		return fmt.Sprintf("%s: %s", capitalize(left.Name()), freshText(n, s.paper))
	}
	// What was sent lay in the tray then, even if nothing good came of it.
	switch begun := len(left.Sheets) < len(whole.Sheets) || !again && s.journal.wasSent(whole); {
	case begun:
		return fmt.Sprintf("%s: lay the %s that are left into the tray, as they lay there before. Nothing is turned again.", capitalize(left.Name()), n)
	case whole.Portion > 1:
		return fmt.Sprintf("%s: lay the next %s of the stack into the tray, the %s ones first, as they lie.", capitalize(left.Name()), n, s.Plan.Profile.FeedFrom)
	case whole.Of > 1:
		return fmt.Sprintf("%s: %s Then lay the %s %s of it into the tray, and the rest beside it.", capitalize(left.Name()), putBackText(s.Plan.Profile.Reload, false)+top, s.Plan.Profile.FeedFrom, n)
	}
	return fmt.Sprintf("%s: %s%s", capitalize(left.Name()), putBackText(s.Plan.Profile.Reload, len(whole.Sheets) == 1), top)
}

// freshText says how printing begins.
func freshText(sheets string, paper reorder.Paper) string {
	return fmt.Sprintf("empty the tray, take everything out of the delivery and lay it aside as it lies. Then lay %s of fresh %s paper into the tray.", sheets, paper.Word())
}

// topText says which sheet lies on top of a stack that was put back, and how.
func (s *Session) topText(back Step) string {
	f := s.Plan.Profile.Facts
	for _, front := range Steps(s.Plan) {
		if front.Run != back.Run || front.Pass != printer.FrontPass {
			continue
		}
		all := joinPortions(Steps(s.Plan), front)
		if back.Of == 1 { // sheets that are printed once more are a stack of their own
			all = slices.DeleteFunc(all, func(n int) bool { return !slices.Contains(back.Sheets, n) })
		}
		lies := printer.Deliver(f, printer.FrontPass, all).PutBack(f.Reload)
		side := "down"
		if lies.FrontsUp {
			side = "up"
		}
		return fmt.Sprintf(" On top lies sheet %d now, its printed side %s.", lies.Sheets[0], side)
	}
	return ""
}

// joinPortions is the sheets of all portions of a pass, in the order in which they come out.
func joinPortions(steps []Step, of Step) (sheets []int) {
	for _, s := range steps {
		if s.Run == of.Run && s.Pass == of.Pass {
			sheets = append(sheets, s.Sheets...)
		}
	}
	return sheets
}

// putBackText says how a stack goes back into the tray between its two passes, in the words
// of the run sheet; one tells that it is a single sheet.
func putBackText(r printer.Reload, one bool) string {
	text := runsheet.PutBack{Reload: r}.Text()
	words := text.Lead.String()
	for _, more := range text.More {
		words += " " + more.String()
	}
	if !strings.Contains(words, runsheet.KeepOrder) {
		words += " " + runsheet.KeepOrder
	}
	if one {
		words = strings.NewReplacer("the whole stack", "the sheet", " "+runsheet.AsOneBlock, "", " "+runsheet.KeepOrder, "").Replace(words)
	}
	return words
}

func capitalize(text string) string { return string(text[0]-'a'+'A') + text[1:] }

// allGoodQuestion asks whether sheets came out, in the order in which they do.
func allGoodQuestion(sheets []int) string {
	if len(sheets) == 1 {
		return fmt.Sprintf("Did sheet %d come out good?", sheets[0])
	}
	return fmt.Sprintf("Did all %d sheets, %d to %d, come out good?", len(sheets), sheets[0], sheets[len(sheets)-1])
}
