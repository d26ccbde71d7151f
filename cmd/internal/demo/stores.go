package main

import (
	"math"
	"time"
)

// good is one kind of stores: what the year begins with, what a month uses, and what the tender lands.
type good struct {
	name, unit   string
	inHand       int
	monthly      int
	delivery     int
	deliveredIn  []time.Month
	fromOilBurnt bool // used as the lamp used it
}

var goods = []good{
	{"Lamp oil", "gal", 132, 0, 330, []time.Month{2, 8, 10}, true},
	{"Wicks", "doz", 9, 2, 12, []time.Month{2, 8}, false},
	{"Lamp glasses", "", 22, 3, 18, []time.Month{2, 8}, false},
	{"Spirit of wine", "pt", 14, 2, 12, []time.Month{2, 8}, false},
	{"Chamois leathers", "", 7, 1, 6, []time.Month{2, 8}, false},
	{"Coal", "cwt", 62, 13, 80, []time.Month{5, 10}, false},
	{"Paraffin", "gal", 24, 6, 40, []time.Month{5, 10}, false},
	{"Flour", "lb", 260, 74, 230, []time.Month{2, 5, 8, 10, 12}, false},
	{"Oatmeal", "lb", 110, 22, 120, []time.Month{5, 10}, false},
	{"Salt beef", "lb", 140, 31, 190, []time.Month{5, 10}, false},
	{"Tea", "lb", 11, 2, 12, []time.Month{5, 10}, false},
	{"Sugar", "lb", 38, 9, 56, []time.Month{5, 10}, false},
	{"Potatoes", "cwt", 9, 2, 14, []time.Month{4, 9}, false},
	{"Limewash", "pails", 2, 1, 9, []time.Month{4, 9}, false},
}

// storesRow is a month of one kind of stores.
type storesRow struct {
	good                   good
	before, received, used int
}

func (r storesRow) after() int { return r.before + r.received - r.used }

// storesOf keeps the book through the year: twelve months of rows.
func storesOf(days []day) [12][]storesRow {
	var oil [12]int
	for _, d := range days {
		oil[d.date.Month()-1] += d.oil
	}
	var months [12][]storesRow
	for _, g := range goods {
		inHand := g.inHand
		for m := range months {
			row := storesRow{good: g, before: inHand}
			for _, delivered := range g.deliveredIn {
				if int(delivered) == m+1 {
					row.received = g.delivery
				}
			}
			row.used = g.monthly + (m*7+len(g.name)*3)%3 - 1
			if g.fromOilBurnt {
				row.used = int(math.Round(float64(oil[m]) / 8))
			}
			row.used = max(0, min(row.used, row.before+row.received))
			inHand = row.after()
			months[m] = append(months[m], row)
		}
	}
	return months
}

const storesLines = 18

func storesTable(month time.Month, rows []storesRow) func(p press, left, top float64) {
	columns := []column{
		{"", 4, false}, {"", 34, false}, {"in hand, 1st", 58, true}, {"received", 74, true}, {"used", 88, true}, {"remaining", 104, true},
	}
	return func(p press, left, top float64) {
		var cells [][]string
		for _, r := range rows {
			received := "–"
			if r.received > 0 {
				received = inFigures(r.received)
			}
			cells = append(cells, []string{r.good.name, r.good.unit, inFigures(r.before), received, inFigures(r.used), inFigures(r.after())})
		}
		table(p, left, top+1, "Stores, "+month.String(), columns, cells, lineMM)
	}
}

// birdCount is the count of May, ledge by ledge put together.
var birdCount = []struct {
	name  string
	where string
	count int
}{
	{"Guillemot", "south face, ledges 1 to 17", 2874},
	{"Kittiwake", "south and east faces", 1166},
	{"Razorbill", "north ledges", 418},
	{"Puffin", "the turf; doors, twice over", 360},
	{"Fulmar", "the long shelf", 142},
	{"Eider", "nettles and garden wall", 38},
	{"Herring gull", "the Calf", 96},
	{"Black-backed gull", "the Calf; the Collector", 9},
	{"Tern", "the shingle", 104},
	{"Oystercatcher", "the landing", 14},
	{"Shag", "the Gut", 68},
	{"Storm petrel", "by ear", 63},
	{"Rock pipit", "everywhere", 14},
	{"Wren", "the coal store", 2},
}

func totalBirds() int {
	total := 0
	for _, b := range birdCount {
		total += b.count
	}
	return total
}

const birdLines = 23

func birdTable(p press, left, top float64) {
	columns := []column{{"", 4, false}, {"where", 42, false}, {"birds", 104, true}}
	var rows [][]string
	for _, b := range birdCount {
		rows = append(rows, []string{b.name, b.where, inFigures(b.count)})
	}
	rows = append(rows, []string{"Together", "", inFigures(totalBirds())})
	end := table(p, left, top+4, "The Birds of the Rock, Counted in May", columns, rows, lineMM)
	p.centre(italic, smallSize-0.4, left+measure/2, end+4, "Each ledge three times, on three mornings, by two persons. N. Wrennick and A. Tolleray")
}
