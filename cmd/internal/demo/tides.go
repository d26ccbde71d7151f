package main

import (
	"fmt"
	"math"
	"time"
)

// constituent is one partial tide of Larkhaven harbour: a cosine with its own speed.
type constituent struct {
	name  string
	speed float64 // degrees per hour
	feet  float64 // amplitude
	phase float64 // degrees at the start of the year
}

// The speeds are the astronomical ones; amplitudes and phases are invented for
// an invented harbour, and give springs of about sixteen feet.
var constituents = []constituent{
	{"M2", 28.9841042, 5.6, 131},
	{"S2", 30.0000000, 1.9, 204},
	{"N2", 28.4397295, 1.1, 78},
	{"K1", 15.0410686, 0.4, 311},
	{"O1", 13.9430356, 0.3, 27},
}

const meanLevel = 9.4 // feet above the sill of the landing

// tideHeight gives feet above the sill, hours counted from the start of the year.
func tideHeight(hours float64) float64 {
	h := meanLevel
	for _, c := range constituents {
		h += c.feet * math.Cos((c.speed*hours+c.phase)*math.Pi/180)
	}
	return h
}

// highWater is one high water: when and how much.
type highWater struct {
	clock clock
	feet  float64
}

// clock is a time of day in minutes after midnight.
type clock int

func clockAt(hours float64) clock { return clock(math.Round(hours * 60)) }

// String gives the time as a keeper writes it: by the twelve-hour clock, with a point.
func (c clock) String() string {
	h := int(c) / 60 % 12
	if h == 0 {
		h = 12
	}
	return fmt.Sprintf("%d.%02d", h, int(c)%60)
}

// highWaters lists the high waters of the given day of the year (0 is New Year's Day):
// two of them, or one on the day that the tide skips.
func highWaters(yearDay int) []highWater {
	const step = 0.1
	var found []highWater
	start := float64(yearDay) * 24
	for i := range 240 {
		t := start + float64(i)*step
		before, here, after := tideHeight(t-step), tideHeight(t), tideHeight(t+step)
		if here <= before || here < after {
			continue
		}
		peak := t + step/2*(before-after)/(before-2*here+after)
		at := clockAt(peak - start)
		if at < 0 || at >= 24*60 {
			continue
		}
		found = append(found, highWater{at, tideHeight(peak)})
	}
	return found
}

// feetInches writes a height as 14 ft 3 in.
func feetInches(feet float64) string {
	inches := int(math.Round(feet * 12))
	return fmt.Sprintf("%d ft %d in", inches/12, inches%12)
}

// elongation is the moon's angle from the sun in degrees: 0 new, 180 full. The sun's
// and the moon's halves of the tide run together a day and a half after each.
func elongation(hours float64) float64 {
	moon, sun := constituents[0], constituents[1]
	late := 36.0
	apart := (sun.speed-moon.speed)*(hours+late) + sun.phase - moon.phase
	return math.Mod(apart/2+360, 360)
}

// quarter names the phase that the moon enters on the given day.
type quarter int

const (
	noQuarter quarter = iota
	newMoon
	firstQuarter
	fullMoon
	lastQuarter
)

func (q quarter) String() string {
	return [...]string{"none", "new", "first quarter", "full", "last quarter"}[q]
}

func quarterOf(yearDay int) quarter {
	from, to := elongation(float64(yearDay)*24), elongation(float64(yearDay+1)*24)
	switch {
	case to < from:
		return newMoon
	case from < 90 && to >= 90:
		return firstQuarter
	case from < 180 && to >= 180:
		return fullMoon
	case from < 270 && to >= 270:
		return lastQuarter
	}
	return noQuarter
}

const (
	latitude = 57.3 // degrees north, of an invented coast
	theYear  = 1887
)

// sunrise and sunset of a day of the year, by the sun's own time.
func sunTimes(yearDay int) (rise, set clock) {
	rad := math.Pi / 180
	tilt := -23.44 * rad * math.Cos(2*math.Pi*float64(yearDay+10)/365)
	cos := (math.Sin(-0.83*rad) - math.Sin(latitude*rad)*math.Sin(tilt)) /
		(math.Cos(latitude*rad) * math.Cos(tilt))
	half := math.Acos(cos) / rad / 15
	return clockAt(12 - half), clockAt(12 + half)
}

func dateOf(yearDay int) time.Time {
	return time.Date(theYear, time.January, 1+yearDay, 0, 0, 0, 0, time.UTC)
}
