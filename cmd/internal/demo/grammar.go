package main

import (
	_ "embed"
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

//go:embed text/grammar.txt
var grammarText string

// saying is one sentence that a keeper may write, with alternatives in (a|b) and
// facts of the day in {braces}. It is said only on days that meet all its conditions.
type saying struct {
	text       string
	conditions []string
	used       int // how often it was said
	last       int // the day of the year it was said last
}

// grammar holds the sayings by topic.
type grammar struct {
	rng     *rand.Rand
	sayings map[string][]*saying
}

// newGrammar reads the text: a line [topic condition ...] opens a section, every other
// line that is not empty and no # comment is a saying of that section.
func newGrammar(seed uint64) (*grammar, error) {
	g := &grammar{rng: rand.New(rand.NewPCG(seed, 0x5a7)), sayings: map[string][]*saying{}}
	var topic string
	var conditions []string
	for number, line := range strings.Split(grammarText, "\n") {
		line = strings.TrimSpace(line)
		switch {
		case line == "" || line[0] == '#':
		case line[0] == '[':
			fields := strings.Fields(strings.Trim(line, "[]"))
			topic, conditions = fields[0], fields[1:]
			for _, c := range conditions {
				if _, err := holds(c, &day{}); err != nil {
					return nil, fmt.Errorf("grammar line %d: %w", number+1, err)
				}
			}
		case topic == "":
			return nil, fmt.Errorf("grammar line %d stands before any section", number+1)
		default:
			g.sayings[topic] = append(g.sayings[topic], &saying{text: line, conditions: conditions, last: -400})
		}
	}
	return g, nil
}

// holds reports whether a condition is met: a month or a range of months, wind0-3,
// a weekday, a keeper's initial, or a word for the sky.
func holds(condition string, d *day) (bool, error) {
	if from, to, ok := monthRange(condition); ok {
		m := d.date.Month()
		if from <= to {
			return from <= m && m <= to, nil
		}
		return m >= from || m <= to, nil
	}
	if span, ok := strings.CutPrefix(condition, "wind"); ok {
		from, to, err := numberRange(span)
		return from <= d.force && d.force <= to, err
	}
	switch condition {
	case "fog":
		return d.fog, nil
	case "nofog":
		return !d.fog, nil
	case "rain":
		return d.rain, nil
	case "dry":
		return !d.rain && !d.snow && !d.fog, nil
	case "snow":
		return d.snow, nil
	case "frost":
		return d.temperature <= 34, nil
	case "warm":
		return d.temperature >= 64, nil
	case "clear":
		return d.clear, nil
	case "rising":
		return d.rising > 0.08, nil
	case "falling":
		return d.rising < -0.08, nil
	case "springs":
		return d.springs, nil
	case "neaps":
		return d.neaps, nil
	case "newmoon":
		return d.moon == newMoon, nil
	case "fullmoon":
		return d.moon == fullMoon, nil
	case "boat":
		return d.boat, nil
	case "J", "A", "M":
		return d.keeper.initial() == condition, nil
	}
	for w := time.Sunday; w <= time.Saturday; w++ {
		if condition == strings.ToLower(w.String()) {
			return d.date.Weekday() == w, nil
		}
	}
	return false, fmt.Errorf("unknown condition %q", condition)
}

// between reports whether the day lies between two dates such as 5 January, both included.
func (d *day) between(from, to string) bool {
	return yearDayOf(from) <= d.yearDay && d.yearDay <= yearDayOf(to)
}

// yearDayOf gives the day of the year of a date such as 5 January, -1 if it is none.
func yearDayOf(date string) int {
	t, err := time.Parse("2 January 2006", fmt.Sprintf("%s %d", date, theYear))
	if err != nil {
		return -1
	}
	return t.YearDay() - 1
}

func monthRange(s string) (from, to time.Month, ok bool) {
	first, second, two := strings.Cut(s, "-")
	if !two {
		second = first
	}
	from, to = monthOf(first), monthOf(second)
	return from, to, from > 0 && to > 0
}

// monthOf finds a month by its first three letters or its full name; 0 if there is none.
func monthOf(s string) time.Month {
	for m := time.January; m <= time.December; m++ {
		if name := strings.ToLower(m.String()); s == name || s == name[:3] {
			return m
		}
	}
	return 0
}

func numberRange(s string) (from, to int, err error) {
	first, second, two := strings.Cut(s, "-")
	if !two {
		second = first
	}
	if from, err = strconv.Atoi(first); err == nil {
		to, err = strconv.Atoi(second)
	}
	return from, to, err
}

// say picks the saying on the topic that was used least and longest ago, and fills it in.
// It returns "" if nothing on the topic suits the day.
func (g *grammar) say(topic string, d *day) string {
	var best *saying
	var bestRank float64
	for _, s := range g.sayings[topic] {
		if !s.suits(d) || d.yearDay-s.last < 45 {
			continue
		}
		rank := float64(s.used) - 0.25*float64(len(s.conditions)) + g.rng.Float64()*1.2
		if best == nil || rank < bestRank {
			best, bestRank = s, rank
		}
	}
	if best == nil {
		return ""
	}
	best.used++
	best.last = d.yearDay
	return g.fill(best.text, d)
}

// absences are the days on which something is not there to be spoken of, first and last day.
var absences = []struct {
	word     string
	from, to string
}{
	{"{ambrose}", "1 January", "5 January"},
	{"goat", "1 January", "8 April"},
	{"lens", "6 August", "26 August"},
	{"beam", "6 August", "26 August"},
	{"derrick", "23 November", "31 December"},
	{"boathouse", "23 November", "31 December"},
	{"currant", "23 November", "31 December"},
	{"reflectors", "27 August", "31 December"},
}

func (s *saying) suits(d *day) bool {
	if strings.Contains(s.text, "{"+d.keeper.slot()+"}") {
		return false // nobody writes his own name
	}
	for _, a := range absences {
		if strings.Contains(s.text, a.word) && d.between(a.from, a.to) {
			return false
		}
	}
	for _, c := range s.conditions {
		if ok, err := holds(c, d); err != nil || !ok {
			return false
		}
	}
	return true
}

// fill resolves alternatives from the inside out, then the facts, and starts with a capital.
func (g *grammar) fill(text string, d *day) string {
	for {
		end := strings.IndexByte(text, ')')
		if end < 0 {
			break
		}
		start := strings.LastIndexByte(text[:end], '(')
		if start < 0 {
			break
		}
		options := strings.Split(text[start+1:end], "|")
		text = text[:start] + options[g.rng.IntN(len(options))] + text[end+1:]
	}
	for {
		start := strings.IndexByte(text, '{')
		if start < 0 {
			break
		}
		end := start + strings.IndexByte(text[start:], '}')
		text = text[:start] + g.fact(text[start+1:end], d) + text[end+1:]
	}
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:]
}

func (g *grammar) pick(options []string) string { return options[g.rng.IntN(len(options))] }

// fact gives the words for one slot; n3-9 is a number in words, o3-9 an ordinal.
func (g *grammar) fact(slot string, d *day) string {
	if from, to, err := numberRange(slot[1:]); err == nil {
		n := from + g.rng.IntN(to-from+1)
		if slot[0] == 'o' {
			return ordinals[n]
		}
		return inWords(n)
	}
	switch slot {
	case "wind":
		return windNames[d.wind]
	case "force":
		return forceNames[d.force]
	case "glass":
		return fmt.Sprintf("%.2f", d.glass)
	case "temp":
		return inWords(d.temperature)
	case "lit":
		return d.lit.String()
	case "out":
		return d.out.String()
	case "foggy":
		return inWords(d.foggy)
	case "oil":
		return gallons(d.oil)
	case "tide":
		return d.tides[0].clock.String()
	case "height":
		return feetInches(d.tides[0].feet)
	case "josias", "ambrose", "maud":
		return d.keeper.callsHim(slot)
	case "rig":
		return g.pick(rigs)
	case "ship":
		return "*" + g.pick(shipNames[0]) + " " + g.pick(shipNames[1]) + "*"
	case "cargo":
		return g.pick(cargoes)
	case "bound":
		return g.pick([]string{"north", "south", "up the coast", "down the coast", "in for Larkhaven", "outward"})
	}
	return "{" + slot + "}"
}

func gallons(pints int) string {
	count := func(n int, unit string) string {
		if n != 1 {
			unit += "s"
		}
		return inWords(n) + " " + unit
	}
	switch gallons, rest := pints/8, pints%8; {
	case rest == 0:
		return count(gallons, "gallon")
	case gallons == 0:
		return count(rest, "pint")
	default:
		return count(gallons, "gallon") + " and " + count(rest, "pint")
	}
}

var smallNumbers = strings.Fields("no one two three four five six seven eight nine ten eleven twelve thirteen " +
	"fourteen fifteen sixteen seventeen eighteen nineteen")
var ordinals = strings.Fields("- first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth " +
	"thirteenth fourteenth fifteenth sixteenth seventeenth eighteenth nineteenth")
var tens = strings.Fields("- - twenty thirty forty fifty sixty seventy eighty ninety")

func inWords(n int) string {
	switch {
	case n < 20:
		return smallNumbers[n]
	case n < 100 && n%10 == 0:
		return tens[n/10]
	case n < 100:
		return tens[n/10] + "-" + smallNumbers[n%10]
	}
	return strconv.Itoa(n)
}
