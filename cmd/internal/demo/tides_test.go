package main

import (
	"math"
	"testing"
)

// High waters follow each other by half a lunar day, 12 h 25 min on the mean (common knowledge, no source);
// springs and neaps shift a single interval by half an hour or so.
func TestHighWatersFollowTheMoon(t *testing.T) {
	var times []float64
	for i := range 365 {
		tides := highWaters(i)
		if len(tides) < 1 || len(tides) > 2 {
			t.Fatalf("day %d has %d high waters", i, len(tides))
		}
		for _, h := range tides {
			times = append(times, float64(i)*24+float64(h.clock)/60)
			if h.feet < meanLevel || h.feet > meanLevel+9.3 {
				t.Errorf("day %d: high water of %.2f ft", i, h.feet)
			}
		}
	}
	for i := 1; i < len(times); i++ {
		if gap := times[i] - times[i-1]; gap < 11.6 || gap > 13.6 {
			t.Errorf("%.2f h between high waters of day %d", gap, int(times[i]/24))
		}
	}
	mean := (times[len(times)-1] - times[0]) / float64(len(times)-1)
	if math.Abs(mean-12.4206) > 0.01 {
		t.Errorf("mean interval %.4f h, want 12.4206, the period of M2", mean)
	}
}

// The sun halves day and night at the equinox and nowhere else; refraction adds some minutes.
func TestSunTimes(t *testing.T) {
	length := func(yearDay int) float64 {
		rise, set := sunTimes(yearDay)
		return float64(set-rise) / 60
	}
	if got := length(79); math.Abs(got-12.1) > 0.25 {
		t.Errorf("20 March has %.2f h of day", got)
	}
	if june, december := length(171), length(354); june < 17.5 || december > 6.8 || june+december < 24 {
		t.Errorf("the longest day has %.2f h, the shortest %.2f", june, december)
	}
}

func TestQuartersComeInTurn(t *testing.T) {
	last := noQuarter
	count := 0
	for i := range 365 {
		q := quarterOf(i)
		if q == noQuarter {
			continue
		}
		count++
		if last != noQuarter && q != last%lastQuarter+1 {
			t.Errorf("day %d: %v after %v", i, q, last)
		}
		last = q
	}
	// 365 days hold 12.36 months of 29.53 days, from memory.
	if count < 48 || count > 51 {
		t.Errorf("%d quarters in the year", count)
	}
}
