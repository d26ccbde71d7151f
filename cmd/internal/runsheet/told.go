package runsheet

import (
	"html/template"
	"slices"
)

// toldPart is a part whose notes and steps have been put into words.
type toldPart struct {
	Part
	Stages []toldStage
}

type toldStage struct {
	Heading string
	Notes   []toldText
	Steps   []toldText
}

// toldText is a text with the trade words to be explained below it.
type toldText struct {
	Text
	HTML     setText
	Number   int           // of a step within its part
	Drawing  template.HTML // of a step
	Meanings []meaning
}

type meaning struct{ Word, Says string }

// told puts parts into words, numbers the steps of each and finds for every
// trade word the text in which it first stands.
func told(parts []Part) []toldPart {
	t := teller{known: map[string]bool{}}
	out := make([]toldPart, len(parts))
	drawings := 0
	for i, p := range parts {
		out[i] = toldPart{Part: p}
		number := 0
		for _, s := range p.Stages {
			stage := toldStage{Heading: s.Heading}
			for _, n := range s.Notes {
				stage.Notes = append(stage.Notes, t.tell(n.Text()))
			}
			for _, step := range s.Steps {
				number++
				text := t.tell(step.Text())
				text.Number, text.Drawing = number, drawn(step, &drawings)
				stage.Steps = append(stage.Steps, text)
			}
			out[i].Stages = append(out[i].Stages, stage)
		}
	}
	return out
}

// teller remembers the words that have been explained.
type teller struct{ known map[string]bool }

func (t teller) tell(text Text) toldText {
	out := toldText{Text: text, HTML: set(text)}
	for _, s := range slices.Concat([]Sentence{text.Lead}, text.List, text.More) {
		for _, span := range s {
			if span.Mark == Word && !t.known[span.To] {
				t.known[span.To] = true
				out.Meanings = append(out.Meanings, meaning{span.To, meanings[span.To]})
			}
		}
	}
	return out
}
