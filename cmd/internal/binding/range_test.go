package binding_test

import (
	"encoding/json"
	"testing"

	"foldwright/cmd/internal/binding"
)

// TestRangesInPlans: in plan.json numbers are numbers.
func TestRangesInPlans(t *testing.T) {
	for in, want := range map[string]binding.Range{
		"12": binding.Exactly(12), "0.5": binding.Exactly(0.5), `{"least":2,"most":3.5}`: {Least: 2, Most: 3.5},
	} {
		var got binding.Range
		if err := json.Unmarshal([]byte(in), &got); err != nil || got != want {
			t.Errorf("%s is read as %v: %v", in, got, err)
		}
		if out, err := json.Marshal(want); err != nil || string(out) != in {
			t.Errorf("%v is written as %s: %v", want, out, err)
		}
	}
	for _, in := range []string{`"12"`, `{"least":3,"most":2}`, "[1,2]"} {
		if err := json.Unmarshal([]byte(in), new(binding.Range)); err == nil {
			t.Errorf("%s is a range", in)
		}
	}
}
