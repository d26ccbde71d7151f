package measure_test

import (
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/joblog"
	"foldwright/cmd/internal/measure"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
)

func TestMeasuredIsWhatWasMeasuredLast(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, plan.File), []byte("{}"), 0o600); err != nil {
		t.Fatal(err)
	}
	of, err := joblog.PlanOf(dir)
	if err != nil {
		t.Fatal(err)
	}
	read := func() joblog.Log {
		t.Helper()
		log, err := joblog.Read(dir)
		if err != nil {
			t.Fatal(err)
		}
		return log
	}
	keep := func(a measure.Asked) {
		t.Helper()
		if err := measure.KeepMeasured(t.Context(), dir, a); err != nil {
			t.Fatal(err)
		}
	}
	keep(measure.Asked{Structure: "tapes"}) // nothing was measured
	if got := read().Lines; len(got) != 0 {
		t.Errorf("%+v", got)
	}
	block := measure.Asked{Measured: binding.Measured{Block: 9.35, StackLeaves: 40, Stack: 4.1, Supports: 3}, Structure: "tapes", TwoOn: true}
	keep(block)
	keep(block)
	keep(measure.Asked{Volume: 2, Measured: binding.Measured{Block: 8}})
	keep(measure.Asked{Measured: binding.Measured{Board: 2.38125}, Leaf: options.Dimensions{W: 145.5, H: 204}})
	log := read()
	if len(log.Lines) != 3 {
		t.Errorf("%d lines", len(log.Lines))
	}
	want := measure.Asked{Volume: 1, Measured: binding.Measured{Block: 9.35, StackLeaves: 40, Stack: 4.1, Board: 2.3813}, Leaf: options.Dimensions{W: 145.5, H: 204}}
	if got := measure.FromLog(log, dir, of, 1); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
	if got := measure.FromLog(log, dir, of, 2); got.Measured.Block != 8 {
		t.Errorf("%+v", got)
	}
	if got := measure.FromLog(log, dir, "another plan", 1); got.Measured.Block != 0 {
		t.Errorf("%+v", got)
	}
}
