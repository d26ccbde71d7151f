package bench

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/pdf/cos"
)

// perPage is what each page may cost besides its streams: its own dictionary,
// its place in the page tree and the drawing that puts it on the sheet.
const perPage = 400

// floor is how few bytes a job's print files could have.
type floor struct {
	bytes int64
	pages int
}

// most is how many bytes a kit may have: little more than its print files need,
// and room for the test sheets and the page that tells what to do.
func (f floor) most() int64 { return f.bytes*105/100 + 300_000 }

// size is the bytes of the PDF files at a path, or of all files.
func size(path string, all bool) (sum int64, err error) {
	err = filepath.WalkDir(path, func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || !all && filepath.Ext(path) != ".pdf" {
			return err
		}
		info, err := e.Info()
		if err == nil {
			sum += info.Size()
		}
		return err
	})
	return sum, err
}

// printFloor prints the floor of a job or a kit: PRINT-FOLDER:SOURCE.pdf. A kit
// that is too large is an error.
func printFloor(ctx context.Context, what string) error {
	folder, source, ok := strings.Cut(what, ":")
	if !ok {
		return fmt.Errorf("%q is not PRINT-FOLDER:SOURCE.pdf", what)
	}
	f, err := floorOf(ctx, folder, source)
	if err != nil {
		return err
	}
	kit := output.IsKit(folder)
	written, err := size(folder, kit)
	if err != nil {
		return err
	}
	fmt.Printf("%d pages, floor %d bytes, written %d bytes, %.3f times as many\n", f.pages, f.bytes, written, float64(written)/float64(f.bytes))
	if kit && written > f.most() {
		return fmt.Errorf("%s: a kit of %d bytes, %d would do", folder, written, f.most())
	}
	return nil
}

// floorOf works out, from a job's plan and its source, the raw streams that the
// pages of each print file really use: what their content names and what can be
// reached from there. A stream that pages of one file share counts once.
func floorOf(ctx context.Context, folder, source string) (floor, error) {
	files, err := pagesOfFiles(folder)
	if err != nil {
		return floor{}, err
	}
	f, err := os.Open(source)
	if err != nil {
		return floor{}, err
	}
	defer f.Close()
	end, err := f.Seek(0, io.SeekEnd)
	if err != nil {
		return floor{}, err
	}
	file, err := cos.Open(ctx, f, end)
	if err != nil {
		return floor{}, err
	}
	if err := file.Unlock(""); err != nil {
		return floor{}, err
	}
	s := surveyor{file: file, uses: map[int]map[int]int64{}}
	root, _ := file.Resolve(file.Trailer.Get("Root")).(*cos.Dict)
	s.tree(root.Get("Pages"), nil)
	var out floor
	for _, pages := range files {
		shared := map[int]int64{}
		for _, page := range pages {
			if page > len(s.pages) {
				return floor{}, fmt.Errorf("the plan names page %d, the source has %d", page, len(s.pages))
			}
			for num, n := range s.used(page) {
				shared[num] = n
			}
		}
		for _, n := range shared {
			out.bytes += n
		}
		out.bytes += perPage * int64(len(pages))
		out.pages += len(pages)
	}
	return out, nil
}

// pagesOfFiles is the source pages in each print file of a job or a kit in
// folios, in one run, as its plan or record tells.
func pagesOfFiles(folder string) ([][]int, error) {
	var outer, inner []int
	if record, err := output.ReadKit(folder); err == nil {
		for _, g := range record.Editions[0].Gatherings {
			addSides(&outer, &inner, g.Pages)
		}
		if runs := record.Editions[0].Start.Runs; len(runs) != 1 || runs[0].Both.One == "" || runs[0].Both.One == runs[0].Both.Three {
			return nil, errors.New("the floor of a kit is known for one run of two faces only")
		}
		both := slices.Concat(outer, inner)
		return [][]int{outer, outer, inner, inner, both, both}, nil
	}
	data, err := os.ReadFile(filepath.Join(folder, "plan.json"))
	if err != nil {
		return nil, err
	}
	var plan struct {
		Options struct {
			Fold string
			Cut  int
		}
		Gatherings []struct{ Pages []int }
		Runs       []struct{ Passes []struct{ File string } }
	}
	if err := json.Unmarshal(data, &plan); err != nil {
		return nil, err
	}
	if plan.Options.Fold != "folio" || plan.Options.Cut != 1 || len(plan.Runs) != 1 || len(plan.Runs[0].Passes) != 2 {
		return nil, errors.New("the floor is known for folios in one run by hand only")
	}
	for _, g := range plan.Gatherings {
		addSides(&outer, &inner, g.Pages)
	}
	return [][]int{outer, inner}, nil
}

// addSides adds the pages of a gathering but for its blanks: the outer side of a sheet holds the
// first page and the last of those that are left, the inner side the two next to them.
func addSides(outer, inner *[]int, pages []int) {
	for i, page := range pages {
		side := inner
		if (i%2 == 0) == (i < len(pages)/2) {
			side = outer
		}
		if page != 0 {
			*side = append(*side, page)
		}
	}
}

// surveyor finds the streams that pages use.
type surveyor struct {
	file  *cos.File
	pages []sheetPage
	uses  map[int]map[int]int64 // by page: object number to raw length
}

type sheetPage struct{ dict, resources *cos.Dict }

// tree walks the page tree.
func (s *surveyor) tree(o cos.Object, inherited *cos.Dict) {
	d, ok := s.file.Resolve(o).(*cos.Dict)
	if !ok {
		return
	}
	if r, ok := s.file.Resolve(d.Get("Resources")).(*cos.Dict); ok {
		inherited = r
	}
	kids, ok := s.file.Resolve(d.Get("Kids")).(cos.Array)
	if !ok {
		s.pages = append(s.pages, sheetPage{d, inherited})
		return
	}
	for _, kid := range kids {
		s.tree(kid, inherited)
	}
}

// used is the streams that a page uses.
func (s *surveyor) used(number int) map[int]int64 {
	if u := s.uses[number]; u != nil {
		return u
	}
	p := s.pages[number-1]
	use := map[int]int64{}
	var content []byte
	contents, ok := s.file.Resolve(p.dict.Get("Contents")).(cos.Array)
	if !ok {
		contents = cos.Array{p.dict.Get("Contents")}
	}
	for _, o := range contents {
		content = append(append(content, s.stream(o, use)...), '\n')
	}
	s.named(content, p.resources, use)
	annotations, _ := s.file.Resolve(p.dict.Get("Annots")).(cos.Array)
	for _, o := range annotations {
		if a, ok := s.file.Resolve(o).(*cos.Dict); ok {
			s.reach(a.Get("AP"), use, map[int]bool{})
		}
	}
	s.uses[number] = use
	return use
}

// stream counts a stream and returns what it unpacks to.
func (s *surveyor) stream(o cos.Object, use map[int]int64) []byte {
	st, ok := s.file.Resolve(o).(*cos.Stream)
	if !ok {
		return nil
	}
	use[st.Ref.Num] = st.Len()
	data, err := s.file.Decode(st, 1<<30)
	if err != nil {
		return data // as far as it goes
	}
	return data
}

// named follows the resources whose names stand in a content.
func (s *surveyor) named(content []byte, resources *cos.Dict, use map[int]int64) {
	if resources == nil {
		return
	}
	for _, e := range resources.Entries {
		category, ok := s.file.Resolve(e.Value).(*cos.Dict)
		if !ok {
			continue
		}
		for _, entry := range category.Entries {
			if !bytes.Contains(content, []byte("/"+string(entry.Key))) {
				continue
			}
			st, isStream := s.file.Resolve(entry.Value).(*cos.Stream)
			if isStream && s.file.Resolve(st.Dict.Get("Subtype")) == cos.Name("Form") {
				if _, known := use[st.Ref.Num]; known {
					continue
				}
				below, ok := s.file.Resolve(st.Dict.Get("Resources")).(*cos.Dict)
				if !ok {
					below = resources
				}
				s.named(s.stream(entry.Value, use), below, use)
				continue
			}
			s.reach(entry.Value, use, map[int]bool{})
		}
	}
}

// reach counts every stream that can be reached from an object.
func (s *surveyor) reach(o cos.Object, use map[int]int64, seen map[int]bool) {
	if ref, ok := o.(cos.Ref); ok {
		if seen[ref.Num] {
			return
		}
		seen[ref.Num] = true
		o = s.file.Get(ref.Num)
	}
	switch v := o.(type) {
	case *cos.Stream:
		use[v.Ref.Num] = v.Len()
		s.reach(v.Dict, use, seen)
	case *cos.Dict:
		for _, e := range v.Entries {
			switch e.Key {
			case "Parent", "P", "Page", "StructParent":
			default:
				s.reach(e.Value, use, seen)
			}
		}
	case cos.Array:
		for _, e := range v {
			s.reach(e, use, seen)
		}
	}
}
