package cli

import (
	"slices"
	"testing"

	"github.com/spf13/pflag"

	"foldwright/cmd/internal/options"
)

// TestEveryOptionIsAFlag compares the flags that plan a book with the keys of worklists, which read the same options.
func TestEveryOptionIsAFlag(t *testing.T) {
	f := pflag.NewFlagSet("", pflag.ContinueOnError)
	addJobFlags(f, new(options.Options))
	var flags []string
	f.VisitAll(func(one *pflag.Flag) { flags = append(flags, one.Name) })
	if keys := slices.Sorted(slices.Values(options.Keys())); !slices.Equal(flags, keys) {
		t.Errorf("the flags are %v,\nthe keys of worklists are %v", flags, keys)
	}
}
