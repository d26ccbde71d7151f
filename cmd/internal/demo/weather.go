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

// makeYear lives through the year once. The same seed gives the same weather.
func makeYear(seed uint64, written map[int]*entry) ([]day, error) {
	rng := rand.New(rand.NewPCG(seed, 0x1a7e))
	days := make([]day, 365)
	glass, wind, sinceBoat := 29.8, 10, 9
	var previous *day
	for i := range days {
		d := &days[i]
		d.yearDay, d.date, d.written = i, dateOf(i), written[i]
		winter := math.Cos(2 * math.Pi * float64(i-15) / 365) // 1 in January, -1 in July

		was := glass
		glass = 29.78 + 0.82*(glass-29.78) + rng.NormFloat64()*(0.14+0.07*winter)
		glass = min(max(glass, 28.7), 30.55)
		wind = (wind + 16 + int(math.Round(rng.NormFloat64()*2.2))) % 16
		if rng.Float64() < 0.12 {
			wind = 10
		}
		d.glass, d.rising, d.wind = glass, glass-was, wind
		d.force = int(math.Round(2.5 + 1.2*winter + 4*(29.83-glass) + 3*math.Abs(glass-was) + rng.NormFloat64()))
		d.force = min(max(d.force, 0), 9)
		d.temperature = int(math.Round(48 - 10*winter + rng.NormFloat64()*3.5))

		wet := 0.3 + 1.1*(29.8-glass)
		d.rain = rng.Float64() < wet
		foggy := 0.16
		if m := d.date.Month(); m == time.February || m == time.June {
			foggy = 0.42
		}
		d.fog = d.force <= 2 && !d.rain && rng.Float64() < foggy
		d.clear = !d.rain && !d.fog && rng.Float64() < 0.55
		d.out, d.lit = sunTimes(i)
		if err := d.written.override(d); err != nil {
			return nil, err
		}
		glass, wind = d.glass, d.wind
		if d.rain && d.temperature < 38 {
			d.rain, d.snow = false, true
		}

		d.oil = int(math.Round(float64(24*60-int(d.lit)+int(d.out)) / 60 * 1.15))
		d.tides, d.moon = highWaters(i), quarterOf(i)
		for _, t := range d.tides {
			d.springs = d.springs || t.feet > 16.3
			d.neaps = d.neaps || t.feet < 13.0
		}
		sinceBoat++
		if sinceBoat >= 14 && d.force <= 4 && !d.fog && d.written == nil && d.date.Weekday() != time.Sunday {
			d.boat, sinceBoat = true, 0
		}
		d.keeper = whoWrites(rng, d, previous)
		d.sentencesOfEntry = 3 + rng.IntN(4)
		previous = d
	}
	return days, nil
}

func whoWrites(rng *rand.Rand, d, previous *day) keeper {
	if d.written != nil && d.written.keeper != nobody {
		return d.written.keeper
	}
	roll := rng.Float64()
	firstAssistantDay := 5 // Tolleray lands on the sixth of January
	switch {
	case previous != nil && roll < 0.35:
		return previous.keeper
	case roll < 0.62:
		return josias
	case roll < 0.88 && d.yearDay > firstAssistantDay:
		return ambrose
	}
	return maud
}
