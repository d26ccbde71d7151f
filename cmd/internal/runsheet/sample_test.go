package runsheet

import (
	"fmt"
	"slices"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// sideName is like the names that stand along the folds.
func sideName(run, sheet int, side reorder.Side) string {
	return fmt.Sprintf("sheet %d, %s · run %d", sheet, side, run)
}

// sample is a job on A4 in runs of so many sheets, a gathering each, and the
// side names that each of its files holds, in the file's order.
func sample(f printer.Facts, backs bool, runs ...int) (Job, map[string][]string) {
	paper, _ := reorder.ParsePaper("a4")
	j := Job{
		Title: "larkhaven.pdf", Program: Program{Folder: "larkhaven-print"}, Version: "1.0", Scale: 0.7071, Paper: paper, Leaf: geom.Size{W: 148.5, H: 210},
		Form: reorder.FolioForm, Profile: profiles.Profile{Name: "attic", Facts: f}, SideNames: true,
	}
	content := map[string][]string{}
	j.CheckSheet = CheckSheet{Rule: 100, Marks: []string{"A", "B"}}
	for _, file := range f.Files(1, backs) {
		name := fmt.Sprintf("check-%s.pdf", file.Pass)
		for _, image := range file.Images {
			content[name] = append(content[name], "check "+image.Side.String())
		}
		j.CheckSheet.Files = append(j.CheckSheet.Files, File{Name: name, Pass: file.Pass})
	}
	first := 1
	for i, n := range runs {
		j.Gatherings = append(j.Gatherings, Gathering{Number: i + 1, First: first, Sheets: n})
		run := Run{Number: i + 1, Sheets: n}
		for _, file := range f.Files(n, backs) {
			name := fmt.Sprintf("run-%02d-%s.pdf", i+1, file.Pass)
			for _, image := range file.Images {
				content[name] = append(content[name], sideName(i+1, first+image.Sheet-1, image.Side))
			}
			run.Files = append(run.Files, File{Name: name, Pass: file.Pass})
			sent := content[name]
			last := len(sent) - 1
			if file.Pass == printer.BothPass {
				last-- // both ends are told by their fronts
			}
			out := &run.Files[len(run.Files)-1]
			out.FirstOut, out.LastOut = sent[0], sent[last]
			if f.Sends == printer.LastPageFirst {
				out.FirstOut, out.LastOut = out.LastOut, out.FirstOut
			}
		}
		run.Top.Front = printFace(sideName(i+1, first, reorder.Front))
		if backs {
			run.Top.Back = printFace(sideName(i+1, first, reorder.Back))
		}
		j.Runs = append(j.Runs, run)
		j.Pages += 4 * n
		first += n
	}
	j.Pages -= 2
	j.Blanks = 2
	j.setForm(reorder.FolioForm)
	return j, content
}

// printFace is a face of a folio of A4 as it is printed, told apart by its name.
func printFace(name string) drawing.Print {
	var sheet int
	fmt.Sscanf(name, "sheet %d", &sheet)
	p := drawing.Print{Size: geom.Size{W: 210, H: 297}}
	left, right, head := fmt.Sprint(4*sheet), fmt.Sprint(4*sheet-3), geom.Left
	if strings.Contains(name, "back") {
		left, right, head = fmt.Sprint(4*sheet-2), fmt.Sprint(4*sheet-1), geom.Right
		left, right = right, left
	}
	p.Panels = []drawing.Panel{
		{Rect: geom.Rect{X1: 210, Y1: 148.5}, Head: head, Page: left}, {Rect: geom.Rect{Y0: 148.5, X1: 210, Y1: 297}, Head: head, Page: right},
	}
	p.Names = []drawing.Line{{From: geom.Point{X: 15, Y: 148.5}, To: geom.Point{X: 60, Y: 148.5}}}
	return p
}

func usualJob() Job {
	j, _ := sample(printer.Usual, true, 4, 3)
	j.Profile.Name, j.Guessed = "by-hand-short", true
	j.Marks = Marks{Fold: true, Collation: true, Stations: true, Signing: reorder.Letters}
	j.Creep = "about 0.3 mm in all with office paper, not worth moving pages for"
	j.Bench = []binding.Sheet{bench("case", binding.MM, reorder.Trim{})}
	return j
}

func automaticJob() Job {
	j, _ := sample(printer.Facts{
		TwoSided: printer.Automatic, Lands: printer.FaceDown, Stacks: printer.OnTop,
		Sends: printer.FirstPageFirst, FlipEdge: printer.LongEdge,
	}, true, 4, 3)
	j.Profile.Assumed = []string{"lands", "stacks", "sends"}
	j.Trim = reorder.Trim{Head: 3, Tail: 4, ForeEdge: 5}
	j.Marks = Marks{Cut: true, Corners: true, Signing: reorder.Numbers}
	j.Volumes = []reorder.Volume{{Number: 1, First: 1, Gatherings: 1, FirstPage: 1}, {Number: 2, First: 2, Gatherings: 1, FirstPage: 17}}
	j.Bench = []binding.Sheet{bench("long-stitch", binding.Inches, j.Trim), bench("stab", binding.Inches, j.Trim)}
	j.Warnings = []string{"pages 7, 9: landscape pages, rotated 90 degrees, their heads at the left"}
	return j
}

// wordsOf is everything that the parts of a page say, part by part, as plain lines.
func wordsOf(parts []Part) string {
	var out []byte
	line := func(format string, args ...any) { out = fmt.Appendf(out, format+"\n", args...) }
	rest := func(x stepText) {
		for _, s := range x.List {
			line("     - %s", s)
		}
		for _, row := range x.Table {
			var cells []string
			for _, s := range row {
				cells = append(cells, s.String())
			}
			line("     | %s", strings.Join(cells, " | "))
		}
		if len(x.Else) > 0 {
			line("     %s", x.Else)
		}
		for _, s := range x.More {
			line("     > %s", s)
		}
		for _, s := range append(x.sentences(), x.More...) {
			for _, span := range s {
				if span.Mark == Word && span.Says != "" {
					line("     (%s: %s)", span.To, span.Says)
				}
			}
		}
	}
	note := func(x stepText, of Note) {
		mark := "*"
		if x.Important {
			mark = "!"
		}
		line("   %s %s    [%T]", mark, x.Lead, of)
		rest(x)
	}
	for i, p := range tell(parts) {
		line("\n%s%s", p.Heading, map[bool]string{true: " [behind a tap]"}[p.Shut])
		for k, s := range p.Stages {
			line("\n  %s", s.Heading)
			for m, x := range s.Notes {
				note(x, parts[i].Stages[k].Notes[m])
			}
			for m, x := range s.Steps {
				step := parts[i].Stages[k].Steps[m]
				line("  %2d. %s    [%T]", s.Number, x.Lead, step)
				rest(x)
				if d := DrawingOf(step); d != nil {
					title, desc := d.Describe()
					line("     (drawn: %s. %s)", title, desc)
				}
			}
			for m, d := range s.Drawers {
				line("   [%s]", d.Heading)
				for n, x := range d.Notes {
					note(x, parts[i].Stages[k].Drawers[m].Notes[n])
				}
			}
		}
	}
	return string(out)
}

// split makes the first gathering end so many sheets before the first run does, and lets a cautious
// person try it.
func (j Job) split(rest int, files map[string][]string) Job {
	j.Guessed = true
	first := j.Runs[0]
	n := first.Sheets - rest
	j.Trial = &Trial{Run: part(first, 1, n, files), Rest: append([]Run{part(first, n+1, first.Sheets, files)}, j.Runs[1:]...)}
	j.Gatherings = append([]Gathering{{Number: 1, First: 1, Sheets: n}, {Number: 2, First: n + 1, Sheets: rest}}, j.Gatherings[1:]...)
	var then [][]int
	for i := range j.Gatherings {
		if i > 0 {
			j.Gatherings[i].Number = i + 1
			then = append(then, []int{j.Gatherings[i].Sheets})
		}
	}
	j.setForm(j.Form)
	var err, other error
	j.Trial.Handwork, err = j.Form.Handwork(j.Paper.Size, [][]int{{n}})
	j.Trial.Then, other = j.Form.Handwork(j.Paper.Size, then)
	if err != nil || other != nil {
		panic(fmt.Sprint(err, other)) // a sample that cannot be
	}
	return j
}

// part is some sheets of the first run by themselves.
func part(r Run, from, to int, files map[string][]string) Run {
	r.Sheets = to - from + 1
	r.Files = slices.Clone(r.Files)
	for i, f := range r.Files {
		var names []string
		for page, name := range files[f.Name] {
			var sheet int
			if fmt.Sscanf(name, "sheet %d", &sheet); sheet < from || sheet > to {
				continue
			}
			if f.Pages.From == 0 {
				f.Pages.From = page + 1
			}
			f.Pages.To = page + 1
			if f.Pass != printer.BothPass || strings.Contains(name, "front") {
				names = append(names, name)
			}
		}
		first, last := names[0], names[len(names)-1]
		if strings.HasPrefix(f.LastOut, strings.Split(files[f.Name][0], " · ")[0]) { // sent from the end
			first, last = last, first
		}
		f.FirstOut, f.LastOut = first, last
		r.Files[i] = f
	}
	r.Top.Front, r.Top.Back = printFace(sideName(1, from, reorder.Front)), printFace(sideName(1, from, reorder.Back))
	return r
}

// setForm makes the job one of another form.
func (j *Job) setForm(form reorder.Form) {
	j.Form = form
	var stacks [][]int
	for _, g := range j.Gatherings {
		stacks = append(stacks, []int{g.Sheets})
	}
	work, err := form.Handwork(j.Paper.Size, stacks)
	if err != nil {
		panic(err) // a sample that cannot be
	}
	j.Handwork = work
}
