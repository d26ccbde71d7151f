package runsheet

import (
	"fmt"
	"strings"
	"testing"

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
			run.Files = append(run.Files, File{name, file.Pass, "", "", drawing.Print{}, drawing.Print{}})
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
			out.First, out.Last = printFace(out.FirstOut), printFace(out.LastOut)
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
	p := drawing.Print{Size: geom.Size{W: 210, H: 297}, Name: name}
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
	j.Warnings = []string{"pages 7, 9: landscape, so rotated 90 degrees, with the head at the left"}
	return j
}

// text is everything the run sheet says, part by part, as plain lines.
func text(t *testing.T, j Job) string {
	t.Helper()
	return wordsOf(Parts(j))
}

func wordsOf(parts []Part) string {
	var out []byte
	line := func(format string, args ...any) { out = fmt.Appendf(out, format+"\n", args...) }
	rest := func(x stepText) {
		for _, s := range x.List {
			line("     - %s", s)
		}
		for _, s := range x.More {
			line("     %s", s)
		}
		for _, m := range x.Meanings {
			line("     (%s: %s)", m.Word, m.Says)
		}
	}
	for i, p := range tell(parts) {
		line("\n%s", p.Heading)
		for k, s := range p.Stages {
			if s.Heading != "" {
				line("\n  %s", s.Heading)
			}
			for m, x := range s.Notes {
				mark := "*"
				if x.Important {
					mark = "!"
				}
				line("   %s %s    [%T]", mark, x.Lead, parts[i].Stages[k].Notes[m])
				rest(x)
			}
			for m, x := range s.Steps {
				line("  %2d. %s    [%T]", x.Number, x.Lead, parts[i].Stages[k].Steps[m])
				rest(x)
				if d := DrawingOf(parts[i].Stages[k].Steps[m]); d != nil {
					line("     (drawn: %s. %s)", d.Title(), d.Desc())
				}
			}
		}
	}
	return string(out)
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
