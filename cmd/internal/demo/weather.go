package main

import (
	"math"
	"math/rand/v2"
	"time"
)

// day is everything that was so at Larkhaven on one day, before anybody wrote it down.
type day struct {
	yearDay          int
	date             time.Time
	wind             int // compass points of 16, clockwise from north
	force            int // 0 calm to 12
	glass            float64
	rising           float64 // inches since yesterday
	temperature      int     // degrees Fahrenheit at noon
	rain, snow, fog  bool
	clear            bool
	lit, out         clock
	oil              int // pints burnt in the night before
	foggy            int // days of fog in the month so far
	tides            []highWater
	moon             quarter
	springs, neaps   bool
	boat             bool // the relief boat lay at the landing
	keeper           keeper
	written          *entry // what the keeper wrote by hand, if he did
	sentencesOfEntry int
}

var windNames = [16]string{"north", "north-north-east", "north-east", "east-north-east",
	"east", "east-south-east", "south-east", "south-south-east",
	"south", "south-south-west", "south-west", "west-south-west",
	"west", "west-north-west", "north-west", "north-north-west"}

var windShort = [16]string{"N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE",
	"S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"}

var forceNames = [13]string{"a calm", "light airs", "a light breeze", "a gentle breeze",
	"a moderate breeze", "a fresh breeze", "a strong breeze", "half a gale", "a gale",
	"a strong gale", "a whole gale", "a storm", "a hurricane"}

// newLight is the day on which the new lens and its burner were first lit.
const newLight = "27 August"

const tollerayLands = "6 January"

// makeYear lives through the year once. The same seed gives the same weather.
func makeYear(seed uint64, written map[int]*entry) ([]day, error) {
	now := sky{rng: rand.New(rand.NewPCG(seed, 0x1a7e)), glass: meanGlass, wind: 10}
	days := make([]day, 365)
	sinceBoat := 9
	previous := &day{}
	for i := range days {
		d := &days[i]
		d.yearDay, d.date, d.written = i, dateOf(i), written[i]
		d.out, d.lit = sunTimes(i)
		now.pass(d)
		if err := d.written.override(d); err != nil {
			return nil, err
		}
		now.glass, now.wind = d.glass, d.wind
		d.reckon(previous)
		sinceBoat++
		if sinceBoat >= 14 && d.force <= 4 && !d.fog && d.written == nil && d.date.Weekday() != time.Sunday {
			d.boat, sinceBoat = true, 0
		}
		d.keeper = whoWrites(now.rng, d, previous)
		d.sentencesOfEntry = 3 + now.rng.IntN(4)
		previous = d
	}
	return days, nil
}

const meanGlass = 29.78 // inches

// sky goes from one day to the next: the glass strays and returns, the wind goes round.
type sky struct {
	rng   *rand.Rand
	glass float64
	wind  int
}

// pass gives a day its weather.
func (s *sky) pass(d *day) {
	winter := math.Cos(2 * math.Pi * float64(d.yearDay-15) / 365) // 1 in January, -1 in July
	was := s.glass
	d.glass = meanGlass + 0.82*(was-meanGlass) + s.rng.NormFloat64()*(0.14+0.07*winter)
	d.glass = min(max(d.glass, 28.7), 30.55)
	d.rising = d.glass - was
	d.wind = (s.wind + 16 + int(math.Round(s.rng.NormFloat64()*2.2))) % 16
	if s.rng.Float64() < 0.12 {
		d.wind = 10 // south-west, where the weather lives
	}
	d.force = int(math.Round(2.5 + 1.2*winter + 4*(meanGlass+0.05-d.glass) + 3*math.Abs(d.rising) + s.rng.NormFloat64()))
	d.force = min(max(d.force, 0), 9)
	d.temperature = int(math.Round(49 - 12*winter + s.rng.NormFloat64()*3.5))
	d.rain = s.rng.Float64() < 0.3+1.1*(meanGlass+0.02-d.glass)
	foggy := 0.16
	if m := d.date.Month(); m == time.February || m == time.June {
		foggy = 0.42
	}
	d.fog = d.force <= 2 && !d.rain && s.rng.Float64() < foggy
	d.clear = !d.rain && !d.fog && s.rng.Float64() < 0.55
}

// reckon fills in what follows from the weather and the almanac.
func (d *day) reckon(previous *day) {
	if d.rain && d.temperature < 38 {
		d.rain, d.snow = false, true
	}
	pintsAnHour := 1.15
	if d.yearDay > yearDayOf(newLight) {
		pintsAnHour *= 1.2 // a fifth more, as the entry at the end of August says
	}
	d.oil = int(math.Round(d.hoursLit() * pintsAnHour))
	if previous.date.Month() == d.date.Month() {
		d.foggy = previous.foggy
	}
	if d.fog {
		d.foggy++
	}
	d.tides, d.moon = highWaters(d.yearDay), quarterOf(d.yearDay)
	for _, t := range d.tides {
		d.springs = d.springs || t.feet > 16.3
		d.neaps = d.neaps || t.feet < 13.0
	}
}

// hoursLit is the length of a night.
func (d *day) hoursLit() float64 { return float64(24*60-d.lit+d.out) / 60 }

func whoWrites(rng *rand.Rand, d, previous *day) keeper {
	if d.written != nil && d.written.keeper != nobody {
		return d.written.keeper
	}
	roll := rng.Float64()
	switch {
	case previous.keeper != nobody && roll < 0.35:
		return previous.keeper
	case roll < 0.62:
		return josias
	case roll < 0.88 && d.yearDay > yearDayOf(tollerayLands):
		return ambrose
	}
	return maud
}
