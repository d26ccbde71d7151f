package runsheet

import (
	"slices"

	"foldwright/printer"
	"foldwright/profiles"
)

// Fact is one fact of the profile, as it stands there.
type Fact struct {
	Name, Value string
	Assumed     bool // nobody has looked
	automatic   bool // of a printer that turns the paper itself
}

// Known is what the profile says of the printer.
type Known struct {
	Profile string
	Note    string
	Guessed bool // all of it
	Facts   []Fact
}

func knownFacts(p profiles.Profile, guessed bool) Known {
	return Known{p.Name, p.Note, guessed, Facts(p)}
}

// Facts are the facts of a profile that are given, in the order of its keys.
func Facts(p profiles.Profile) []Fact {
	var facts []Fact
	for _, f := range []Fact{
		{Name: "two-sided", Value: p.TwoSided.String()},
		{Name: "feed-face", Value: p.FeedFace.String()},
		{Name: "feed-from", Value: p.FeedFrom.String()},
		{Name: "lands", Value: p.Lands.String()},
		{Name: "stacks", Value: p.Stacks.String()},
		{Name: "sends", Value: p.Sends.String()},
		{Name: "reload", Value: p.Reload.String()},
		{Name: "flip-edge", Value: p.FlipEdge.String()},
	} {
		f.automatic = p.TwoSided == printer.Automatic
		if f.Says() == nil {
			continue
		}
		f.Assumed = slices.Contains(p.Assumed, f.Name)
		facts = append(facts, f)
	}
	return facts
}

func (k Known) Text() Text {
	t := Text{Lead: say("The files fit one way through one printer only, the {} {}. It says:", wProfile, literal(k.Profile))}
	if k.Guessed {
		t.Lead = say("The files fit one way through one printer only, the {} {}. All this is assumed, nobody has looked:", wProfile, literal(k.Profile))
	}
	if k.Note != "" {
		t.More = append(t.More, say("Its note: {}", k.Note))
	}
	for _, f := range k.Facts {
		s := f.Says()
		if f.Assumed {
			s = say("{} (Assumed: nobody has looked.)", s)
		}
		t.List = append(t.List, s)
	}
	return t
}

// Says is the fact in a sentence, nil for one that is not given.
func (f Fact) Says() Sentence {
	if f.automatic && f.Name == "lands" {
		return automaticLands[f.Value]
	}
	return factSays[f.Name+" "+f.Value]
}

var factSays = map[string]Sentence{
	"two-sided by-hand":      say("It prints one face of the sheets at a time. You put the stack back for the other."),
	"two-sided automatic":    say("It turns the sheets and prints both faces by itself."),
	"feed-face up":           say("The face that lies up in the {} gets printed.", wTray),
	"feed-face down":         say("The face that lies down in the {} gets printed.", wTray),
	"feed-from top":          say("It takes the sheet at the top of the stack in the {} first.", wTray),
	"feed-from bottom":       say("It takes the sheet at the bottom of the stack in the {} first.", wTray),
	"lands face-up":          say("A sheet comes to rest in the {} with the face printed last up.", wDelivery),
	"lands face-down":        say("A sheet comes to rest in the {} with the face printed last down.", wDelivery),
	"stacks on-top":          say("Each new sheet lands on top of those before it."),
	"stacks beneath":         say("Each new sheet lands beneath those before it."),
	"sends first-page-first": say("The computer sends the first page of a file first."),
	"sends last-page-first":  say("The computer sends the last page of a file first."),
	"reload as-delivered":    say("The stack goes back as it was delivered, without a turn."),
	"reload rotate":          say("The stack goes back turned half round on the table."),
	"reload turn-long":       say("The stack goes back turned over like the page of a book."),
	"reload turn-short":      say("The stack goes back turned over like the leaf of a wall calendar."),
	"flip-edge long":         say("Between its two printings a sheet is, all in all, turned like the page of a book."),
	"flip-edge short":        say("Between its two printings a sheet is, all in all, turned like the leaf of a wall calendar."),
}

// automaticLands is for printers that turn the sheet: of them the front is
// told, the face printed first.
var automaticLands = map[string]Sentence{
	"face-up":   say("A sheet comes to rest in the {} with its {} up.", wDelivery, wFront),
	"face-down": say("A sheet comes to rest in the {} with its {} down.", wDelivery, wFront),
}
