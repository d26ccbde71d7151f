package output

import (
	"bytes"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/reorder"
)

// TestOptionsAreReadBackFromThePlan for a job with all that concerns the text
// block, so that it can be prepared again from its plan.
func TestOptionsAreReadBackFromThePlan(t *testing.T) {
	for name, o := range map[string]options.Options{
		"nothing given": {},
		"the text block": {
			Sheets: 3, Fewest: 2, BlanksBefore: 2, BlanksAfter: 1, Pad: reorder.PadSplit, Volumes: 2,
			Recto: options.Starts{Pages: []int{5, 23}}, Verso: options.Starts{Pages: []int{12}},
			Caliper: 0.12, Weight: reorder.Weight{GSM: 90}, CreepMeasured: 0.4,
			Trim: options.Trim{Given: true, Head: 3, Tail: 4, ForeEdge: 5}, Marks: options.Marks{Given: true, Fold: true, Signing: reorder.Numbers}, Stations: options.Lengths{12, 60},
			Structure: "cords", Units: binding.Inches,
		},
		"worked out": {
			GatheringThickness: options.Thickness{Thin: 0.8, Thick: 1.2}, Weight: reorder.Weight{GSM: reorder.BookText.GSM(60), Pounds: 60, Basis: reorder.BookText},
			TrimTo: options.Dimensions{W: 140, H: 200}, Marks: options.Marks{Given: true},
		},
	} {
		folder, made := prepared(t, printtest.Book(t, 40), o, setting(t))
		read, err := plan.Read(folder)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if !reflect.DeepEqual(read.Structure, made.Structure) || read.Structure.Name == "" || !reflect.DeepEqual(read.Stations, made.Stations) || len(read.Stations) == 0 {
			t.Errorf("%s: read %+v, %v", name, read.Structure, read.Stations)
		}
		if !reflect.DeepEqual(read.Options, made.Options) {
			t.Errorf("%s:\nread    %+v\nwritten %+v", name, read.Options, made.Options)
		}
	}
}

// Lists of numbers stand on one line; the plan says what it said.
func TestPlanHasItsNumbersInLine(t *testing.T) {
	for want, value := range map[string]any{
		"{\n  \"a\": [1, -2500, 1e+30]\n}\n":                  map[string]any{"a": []float64{1, -2500, 1e30}},
		"[\n  [1],\n  []\n]\n":                                [][]int{{1}, {}},
		"[\n  \"tide [ 1,  2 ].pdf\",\n  \"[\\n 3\\n]\"\n]\n": []string{"tide [ 1,  2 ].pdf", "[\n 3\n]"},
		"[\n  1,\n  null\n]\n":                                []any{1, nil},
	} {
		if got, err := plan.Encode(value); err != nil || string(got) != want {
			t.Errorf("%v became %q, %v, want %q", value, got, err, want)
		}
	}
	folder, _ := prepared(t, printtest.Book(t, 40), options.Options{}, setting(t))
	data, err := os.ReadFile(filepath.Join(folder, plan.File))
	if err != nil || !bytes.Contains(data, []byte("\"pages\": [1, 2, 3, 4, ")) {
		t.Errorf("%s, %v", data, err)
	}
}
