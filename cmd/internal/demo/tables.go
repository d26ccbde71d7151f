package main

import (
	"fmt"
	"math"
	"strconv"
	"time"
)

func inFigures(n int) string { return strconv.Itoa(n) }

// column of a table: where it stands in the measure, in mm, and whether at its right edge.
type column struct {
	head  string
	x     float64
	right bool
}

func (c column) set(p press, f face, size, left, y float64, text string) {
	if c.right {
		p.right(f, size, left+c.x, y, text)
	} else {
		p.left(f, size, left+c.x, y, text)
	}
}

// table sets a title, a head and rows at the given distance; it returns where it ends.
func table(p press, left, top float64, title string, columns []column, rows [][]string, pitch float64) float64 {
	p.doc.SetLineWidth(0.2)
	p.doc.SetDrawColor(0, 0, 0)
	y := top + 4
	p.centre(smallCaps, 11, left+measure/2, y, title)
	y += 3.6
	p.doc.Line(left, y, left+measure, y)
	y += 4.2
	for _, c := range columns {
		c.set(p, italic, smallSize, left, y, c.head)
	}
	y += 1.6
	p.doc.Line(left, y, left+measure, y)
	y += 0.7
	for _, row := range rows {
		y += pitch
		for i, c := range columns {
			c.set(p, roman, smallSize+0.4, left, y, row[i])
		}
	}
	y += 2
	p.doc.Line(left, y, left+measure, y)
	return y
}

// tideTable is a page with the high waters of a month.
func tideTable(days []day) func(p press, left float64) {
	columns := []column{
		{"", 4, false}, {"", 22, true}, {"morning", 41, true}, {"ft  in", 57, true},
		{"afternoon", 77, true}, {"ft  in", 93, true},
	}
	return func(p press, left float64) {
		var rows [][]string
		for _, d := range days {
			row := []string{d.date.Weekday().String()[:3], inFigures(d.date.Day()), "–", "", "–", ""}
			for _, t := range d.tides {
				at := 2
				if t.clock >= 12*60 {
					at = 4
				}
				inches := int(math.Round(t.feet * 12))
				row[at], row[at+1] = t.clock.String(), fmt.Sprintf("%d  %02d", inches/12, inches%12)
			}
			rows = append(rows, row)
		}
		const pitch = lineMM * 0.985
		title := "High Water at Larkhaven, " + days[0].date.Month().String()
		end := table(p, left, headMargin-2, title, columns, rows, pitch)
		for i, d := range days {
			drawMoon(p, left+measure-5, headMargin+12.1+pitch*float64(i)+pitch-1, d.moon)
		}
		p.centre(italic, smallSize-0.4, left+measure/2, end+4, "Heights above the sill of the landing; the hours are the sun’s")
	}
}

// drawMoon puts the sign of a quarter: an open ring for full, a black one for new, half and half between.
func drawMoon(p press, x, y float64, q quarter) {
	const r = 1.25
	if q == noQuarter {
		return
	}
	p.doc.SetLineWidth(0.2)
	p.doc.SetFillColor(ink, ink, ink)
	p.doc.Circle(x, y, r, "D")
	switch q {
	case newMoon:
		p.doc.Circle(x, y, r, "F")
	case firstQuarter:
		p.doc.Arc(x, y, r, r, 0, 90, 270, "F")
	case lastQuarter:
		p.doc.Arc(x, y, r, r, 0, -90, 90, "F")
	}
}

// abstract is the year on one page: what each month was like and what its nights burnt.
func abstract(days []day) func(p press, left float64) {
	columns := []column{
		{"", 2, false}, {"mean glass", 37, true}, {"gales", 48, true}, {"fog", 57, true},
		{"highest tide", 77, true}, {"lit, hours", 92, true}, {"oil, gal", 106, true},
	}
	return func(p press, left float64) {
		var rows [][]string
		var all monthSum
		for _, sum := range monthSums(days) {
			rows = append(rows, sum.row(sum.month.String()))
			all.add(sum)
		}
		rows = append(rows, all.row("The year"))
		end := table(p, left, headMargin+10, "Abstract of the Year", columns, rows, lineMM*1.35)
		p.centre(italic, smallSize-0.4, left+measure/2, end+4, "A gale is force eight and over; fog is counted in days")
	}
}

// monthSum adds up days.
type monthSum struct {
	month                  time.Month
	days, gales, foggy     int
	glass, highest, litFor float64
	oil                    int
}

func monthSums(days []day) [12]monthSum {
	var sums [12]monthSum
	for _, d := range days {
		one := monthSum{days: 1, glass: d.glass, oil: d.oil, litFor: d.hoursLit()}
		if d.force >= 8 {
			one.gales = 1
		}
		if d.fog {
			one.foggy = 1
		}
		for _, t := range d.tides {
			one.highest = max(one.highest, t.feet)
		}
		m := d.date.Month() - 1
		sums[m].month = d.date.Month()
		sums[m].add(one)
	}
	return sums
}

func (s *monthSum) add(o monthSum) {
	s.days += o.days
	s.gales += o.gales
	s.foggy += o.foggy
	s.glass += o.glass
	s.highest = max(s.highest, o.highest)
	s.litFor += o.litFor
	s.oil += o.oil
}

func (s monthSum) row(title string) []string {
	return []string{title, fmt.Sprintf("%.2f", s.glass/float64(s.days)), inFigures(s.gales), inFigures(s.foggy),
		feetInches(s.highest), fmt.Sprintf("%.0f", s.litFor), inFigures((s.oil + 4) / 8)}
}
