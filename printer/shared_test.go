package printer

import (
	"fmt"
	"math/bits"
	"testing"
)

// ways are the print files that make the right stack on the printer: those of
// its facts, and those after a half turn more of the stack or, on an automatic
// printer, with the other edge asked for.
func ways(f Facts, n int) [][]File {
	out := [][]File{f.Files(n, true)}
	f.FlipEdge = OtherEdge(f.FlipEdge)
	if f.TwoSided == ByHand {
		f.Reload = map[Reload]Reload{AsDelivered: RotateHalf, RotateHalf: AsDelivered, TurnLong: TurnShort, TurnShort: TurnLong}[f.Reload]
	}
	if f.Check() != nil {
		return out
	}
	return append(out, f.Files(n, true))
}

// TestSixSharedFilesServeEveryPrinter tries every set of print files that some
// printer could want: no set of fewer than two fronts, two backs and two
// automatic files serves all 144 printers, and the shared ones do.
func TestSixSharedFilesServeEveryPrinter(t *testing.T) {
	for _, n := range []int{2, 3, 7} {
		index := map[string]int{}
		of := func(f File) int {
			key := fmt.Sprint(f)
			if _, ok := index[key]; !ok {
				index[key] = len(index)
			}
			return index[key]
		}
		var wanted [][]uint // for each printer the sets of files of which it needs one
		for _, f := range Legal() {
			var sets []uint
			for _, files := range ways(f, n) {
				set := uint(0)
				for _, file := range files {
					set |= 1 << of(file)
				}
				sets = append(sets, set)
			}
			if len(sets) != 2 {
				t.Fatalf("%+v: %d ways", f, len(sets))
			}
			wanted = append(wanted, sets)
		}
		serves := func(have uint) bool {
			for _, sets := range wanted {
				if sets[0]&^have != 0 && sets[1]&^have != 0 {
					return false
				}
			}
			return true
		}
		shared := uint(0)
		for _, s := range SharedFiles(n, true) {
			shared |= 1 << of(s.File)
		}
		if len(index) != 10 { // two fronts, four backs, four automatic files
			t.Errorf("%d different files", len(index))
		}
		if !serves(shared) || bits.OnesCount(shared) != 6 {
			t.Errorf("%d sheets: the shared files do not serve every printer", n)
		}
		for have := range uint(1) << len(index) {
			if bits.OnesCount(have) < 6 && serves(have) {
				t.Errorf("%d sheets: %d files serve every printer: %b", n, bits.OnesCount(have), have)
			}
		}
	}
}

// TestTwoSharedFrontsServeEveryPrinter does the same for a book that is printed
// on one face: each of two files is the only one that some printer can use, and
// there is no third.
func TestTwoSharedFrontsServeEveryPrinter(t *testing.T) {
	for _, n := range []int{2, 3, 7} {
		var shared []string
		for _, s := range SharedFiles(n, false) {
			shared = append(shared, fmt.Sprint(s.File))
		}
		wanted := map[string]int{} // printers by the only file that serves them
		for _, f := range Legal() {
			files := f.Files(n, false)
			if len(files) != 1 {
				t.Fatalf("%+v: %d files", f, len(files))
			}
			wanted[fmt.Sprint(files[0])]++
		}
		if len(shared) != 2 || len(wanted) != 2 || wanted[shared[0]] == 0 || wanted[shared[1]] == 0 {
			t.Errorf("%d sheets: %d shared files, and printers want %v", n, len(shared), wanted)
		}
	}
}
