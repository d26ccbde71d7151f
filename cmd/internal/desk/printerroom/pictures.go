package printerroom

import (
	"html/template"

	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/learn"
	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/printer"
	"foldwright/printer/learning"
	"foldwright/reorder/geom"
)

// picture is a drawing as it stands on a page; id begins the ids in it.
func picture(d drawing.Drawing, id string) template.HTML {
	if d == nil {
		return ""
	}
	return template.HTML(drawing.Append(nil, d, id)) // every text in it is escaped there
}

// threeSheets are the numerals of three test sheets, the first on top.
var threeSheets = []string{"I", "II", "III"}

// choicePicture is what somebody sees who gives an answer, by the question and the word of the answer; nil where
// there is nothing to see.
func choicePicture(question, word string, heard learn.Heard) drawing.Drawing {
	sheets := 1
	if heard.Three {
		sheets = 3
	}
	switch question {
	case "two-sided":
		return drawing.Way{Is: map[string]printer.TwoSided{"by-hand": printer.ByHand, "automatic": printer.Automatic}[word]}
	case "sheets":
		return map[string]drawing.Drawing{"1": drawing.Sheets{}, "3": drawing.Sheets{Numerals: threeSheets}}[word]
	case "reload":
		var r printer.Reload
		if r.UnmarshalText([]byte(word)) != nil {
			return nil
		}
		return drawing.Move{From: drawing.Stack{Where: drawing.Delivery, Sheets: sheets, Up: drawing.Either, Under: drawing.Either}, Turn: r, To: drawing.Tray}
	case "reading":
		return map[string]drawing.Drawing{
			"K1": drawing.Pin{OneFace: true}, "K2": drawing.Pin{}, "K3": drawing.Pin{OneFace: true, HalfTurn: true}, "K4": drawing.Pin{HalfTurn: true},
		}[word]
	case "pencil":
		return drawing.PencilCross{Printed: word == "printed"}
	case "lands":
		s := drawing.Stack{Where: drawing.Delivery, Sheets: sheets, Up: drawing.Front, Under: drawing.Blank}
		if heard.TwoSided == printer.Automatic {
			s.Under = drawing.Back
		}
		if word == "face-down" {
			s.Up, s.Under = s.Under, s.Up
		}
		return drawing.Lies{Stack: s}
	case "top":
		if word == "last" {
			return drawing.Topmost{Numerals: []string{"III", "II", "I"}}
		}
		return drawing.Topmost{Numerals: threeSheets}
	case "pair":
		return pairPicture(word, heard)
	case "stacks":
		return drawing.Landing{Next: map[string]printer.Stacks{"on-top": printer.OnTop, "beneath": printer.Beneath}[word]}
	case "actual-size":
		return drawing.ActualSize{Full: word == "yes"}
	case "tray":
		return drawing.TrayKind{Word: word}
	case "process":
		return drawing.Printing{Word: word}
	}
	return nil
}

// pairPicture is the sheet with the front I, and what is printed on it the second time.
func pairPicture(word string, heard learn.Heard) drawing.Drawing {
	second := map[string]string{"same": "I", "reversed": "III"}[word]
	if heard.Reading == learning.K1 || heard.Reading == learning.K3 {
		return drawing.Cards{What: "The sheet with the front I", Labels: []string{"both prints"}, Words: [][]string{{"front I", "back " + second}}}
	}
	return drawing.Cards{What: "The sheet with the front I", Labels: []string{"one side", "its other side"}, Words: [][]string{{"front", "I"}, {"back", second}}}
}

// questionPictures are what is looked at for a question, above its answers.
func questionPictures(question string, sheet learning.Sheet) []drawing.Drawing {
	across, along := geom.Millimetres(sheet.Ruler.W)+" mm", geom.Millimetres(sheet.Ruler.H)+" mm"
	light := drawing.Light{Front: testsheet.FrontPitch, Back: testsheet.BackPitch, Reading: 2 * testsheet.Resolution}
	ladder := drawing.Ladder{Steps: testsheet.LadderSteps, Reaches: 4}
	switch question {
	case "ruler-front":
		return []drawing.Drawing{drawing.Spans{Side: drawing.Front, Across: across, Along: along}}
	case "ruler-back":
		return []drawing.Drawing{drawing.Spans{Side: drawing.Back, Across: across, Along: along}}
	case "mark":
		return []drawing.Drawing{drawing.Margin{Left: geom.Millimetres(sheet.Mark.X) + " mm", Lower: geom.Millimetres(sheet.Mark.Y) + " mm"}}
	case "shift-1", "shift-2", "shift-3":
		return []drawing.Drawing{drawing.Four{Side: drawing.Front}, light}
	case "edges-1":
		return []drawing.Drawing{drawing.Four{Side: drawing.Front}, ladder}
	case "edges-2":
		return []drawing.Drawing{drawing.Four{Side: drawing.Back}, ladder}
	}
	return nil
}
