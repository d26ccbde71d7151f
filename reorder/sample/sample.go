// Package sample is for tests: of the cases of a law it draws a few, so that the
// test command of the README is done in two minutes. .ci/full tries them all.
//
//	FOLDWRIGHT_FULL=1   every case
//	FOLDWRIGHT_SEED=N   the sample of an earlier run, which a failed test prints
//
// Each run draws anew. With -short the cases that are always tried are enough.
package sample

import (
	"hash/fnv"
	"iter"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"sync"
	"testing"
)

// The environment that a sample obeys.
const (
	FullVariable = "FOLDWRIGHT_FULL"
	SeedVariable = "FOLDWRIGHT_SEED"
)

// Full tells whether every case is wanted.
func Full() bool { return os.Getenv(FullVariable) != "" }

var readSeed = sync.OnceValues(func() (uint64, error) {
	if text := os.Getenv(SeedVariable); text != "" {
		return strconv.ParseUint(text, 10, 64)
	}
	return rand.Uint64N(1_000_000), nil // short enough to be typed
})

// Random is the source of all that a test draws. It gives the same again with
// the seed that it logs, whatever other tests run.
func Random(tb testing.TB) *rand.Rand {
	tb.Helper()
	seed, err := readSeed()
	if err != nil {
		tb.Fatalf("%s: %v", SeedVariable, err)
	}
	tb.Logf("drawn with %s=%d", SeedVariable, seed)
	name := fnv.New64a()
	name.Write([]byte(tb.Name()))
	return rand.New(rand.NewPCG(seed, name.Sum64()))
}

// Of is cases with their places among all, in order: those that are always tried,
// which has to be one at least, and a few more that are drawn.
func Of[T any](tb testing.TB, all []T, few int, always ...int) iter.Seq2[int, T] {
	tb.Helper()
	places := choose(tb, len(all), few, always)
	return func(yield func(int, T) bool) {
		for _, at := range places {
			if !yield(at, all[at]) {
				return
			}
		}
	}
}

func choose(tb testing.TB, n, few int, always []int) []int {
	tb.Helper()
	if n == 0 || len(always) == 0 {
		tb.Fatalf("a sample of %d cases, %d of them always tried, is none", n, len(always))
	}
	if Full() {
		few = n
	} else if testing.Short() {
		few = 0
	}
	chosen := slices.Clone(always)
	if few > 0 {
		drawn := Random(tb).Perm(n)
		drawn = slices.DeleteFunc(drawn, func(at int) bool { return slices.Contains(always, at) })
		chosen = append(chosen, drawn[:min(few, len(drawn))]...)
	}
	slices.Sort(chosen)
	return slices.Compact(chosen)
}
