package main

import (
	_ "embed"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

//go:embed text/entries.txt
var entriesText string

//go:embed text/front.txt
var frontText string

// keeper is one of the three who write the journal.
type keeper int

const (
	nobody keeper = iota
	josias
	ambrose
	maud
)

func (k keeper) slot() string    { return [...]string{"nobody", "josias", "ambrose", "maud"}[k] }
func (k keeper) initial() string { return [...]string{"", "J", "A", "M"}[k] }
func (k keeper) signature() string {
	return [...]string{"", "J. W.", "A. T.", "M. W."}[k]
}

// callsHim is how the writer names another of the household.
func (k keeper) callsHim(slot string) string {
	names := map[keeper]map[string]string{
		josias:  {"ambrose": "Tolleray", "maud": "Maud"},
		ambrose: {"josias": "Mr Wrennick", "maud": "Mrs Wrennick"},
		maud:    {"josias": "Josias", "ambrose": "Mr Tolleray"},
	}
	return names[k][slot]
}

var rigs = []string{"a brig", "a brigantine", "a two-masted schooner", "a topsail schooner", "a ketch", "a barque",
	"a collier", "a steam coaster", "a fishing lugger", "a cutter", "a three-masted schooner", "a small sloop", "a mail steamer"}

var shipNames = [2][]string{
	{"Fair", "Good", "Patient", "Early", "Northern", "Honest", "Second", "Bright", "Quiet", "Willing"},
	{"Prudence", "Harvest", "Susannah", "Morning", "Venture", "Cordelia", "Endeavour", "Marigold", "Neighbour", "Tern"},
}

var cargoes = []string{"coal", "slates", "salt", "barley", "herring in barrels", "deals", "lime", "pit props", "seed potatoes",
	"bricks", "empty casks", "machinery, by the depth of her", "nobody could say what", "hay", "pipe clay"}

// entry is a day that was written by hand. Facts in its heading replace the weather's.
type entry struct {
	keeper     keeper
	facts      []string
	paragraphs []string
}

// override puts the facts of a hand-written day in place of the simulated ones.
func (e *entry) override(d *day) error {
	if e == nil {
		return nil
	}
	for _, fact := range e.facts {
		name, value, _ := strings.Cut(fact, " ")
		var err error
		switch name {
		case "wind":
			point, force, _ := strings.Cut(value, " ")
			d.wind = slices.Index(windShort[:], point)
			d.force, err = strconv.Atoi(force)
			if d.wind < 0 {
				err = fmt.Errorf("no such point of the compass")
			}
		case "glass":
			d.glass, err = strconv.ParseFloat(value, 64)
		case "lit":
			var hour, minute int
			_, err = fmt.Sscanf(value, "%d.%d", &hour, &minute)
			d.lit = clock(hour*60 + minute)
		case "fog":
			d.fog, d.rain, d.clear = true, false, false
		case "rain":
			d.rain, d.fog, d.clear = true, false, false
		case "clear":
			d.clear, d.rain, d.fog = true, false, false
		default:
			err = fmt.Errorf("no such fact")
		}
		if err != nil {
			return fmt.Errorf("entry of %s: %q: %w", d.date.Format("2 January"), fact, err)
		}
	}
	return nil
}

// writtenEntries reads the hand-written days by day of the year. Each opens with a line
// "## 18 march | A | wind SW 9; glass 28.60" and holds paragraphs of one line each.
func writtenEntries() (map[int]*entry, error) {
	entries := map[int]*entry{}
	var current *entry
	for number, line := range strings.Split(entriesText, "\n") {
		line = strings.TrimSpace(line)
		heading, opens := strings.CutPrefix(line, "## ")
		switch {
		case line == "":
		case opens:
			fields := strings.Split(heading, " | ")
			yearDay := yearDayOf(fields[0])
			if yearDay < 0 || len(fields) < 2 {
				return nil, fmt.Errorf("entries line %d: heading %q not understood", number+1, heading)
			}
			current = &entry{}
			for k := josias; k <= maud; k++ {
				if k.initial() == fields[1] {
					current.keeper = k
				}
			}
			if len(fields) > 2 {
				current.facts = strings.Split(fields[2], "; ")
			}
			if entries[yearDay] != nil {
				return nil, fmt.Errorf("entries line %d: %s is written twice", number+1, fields[0])
			}
			entries[yearDay] = current
		case current == nil:
			return nil, fmt.Errorf("entries line %d stands before any day", number+1)
		default:
			current.paragraphs = append(current.paragraphs, line)
		}
	}
	return entries, nil
}

// frontMatter reads the sections of the front and back matter by name; a paragraph is a line.
func frontMatter() map[string][]string {
	sections := map[string][]string{}
	var name string
	for _, line := range strings.Split(frontText, "\n") {
		line = strings.TrimSpace(line)
		if heading, ok := strings.CutPrefix(line, "## "); ok {
			name = heading
		} else if line != "" {
			sections[name] = append(sections[name], line)
		}
	}
	return sections
}

// topicsFor lists what a keeper may speak of, the likelier topics more than once.
var topicsFor = map[keeper][]string{
	josias:  {"lamp", "lamp", "repairs", "repairs", "vessels", "tide", "birds", "stores", "household", "animals"},
	ambrose: {"birds", "birds", "birds", "lamp", "repairs", "vessels", "tide", "animals", "household", "stores"},
	maud:    {"household", "household", "household", "stores", "animals", "animals", "birds", "vessels", "tide", "lamp"},
}

// write gives the paragraphs of a day's entry.
func (g *grammar) write(d *day) []string {
	if d.written != nil {
		paragraphs := slices.Clone(d.written.paragraphs)
		for i := range paragraphs {
			paragraphs[i] = g.fill(paragraphs[i], d)
		}
		return paragraphs
	}
	var sentences []string
	add := func(topic string) {
		if s := g.say(topic, d); s != "" {
			sentences = append(sentences, s)
		}
	}
	add("weather")
	if d.fog {
		add("bell")
	}
	if d.boat {
		add("boat")
	}
	if d.moon == newMoon || d.moon == fullMoon || d.date.Weekday() == time.Sunday || d.date.Weekday() == time.Monday {
		if g.rng.Float64() < 0.6 {
			add("weekday")
		}
	}
	topics := slices.Clone(topicsFor[d.keeper])
	g.rng.Shuffle(len(topics), func(i, j int) { topics[i], topics[j] = topics[j], topics[i] })
	spoken := map[string]bool{}
	for _, topic := range topics {
		if len(sentences) >= d.sentencesOfEntry {
			break
		}
		if !spoken[topic] {
			add(topic)
			spoken[topic] = true
		}
	}
	if g.rng.Float64() < 0.48 {
		add("closing")
	}
	return []string{strings.Join(sentences, " ")}
}
