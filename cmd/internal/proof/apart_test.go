package proof

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// A proof that asked the planner would repeat its mistakes. Of the packages
// that plan only types and words may be named here, and arithmetic on lengths;
// Form.Handwork is what the hands are told, and paper finds out what comes of it.
var allowed = map[string][]string{
	"reorder": {
		"Size", "Rect", "Point", "Matrix", "Identity", "Translate", "Enlarge", "Rotate", "HalfTurn",
		"Side", "Front", "Back", "Towards", "Up", "Left", "Down", "Right",
		"Form", "Fold", "Sixteenmo", "Loose", "Pouch", "Concertina", "Nest", "Bind", "BindLeft", "BindRight", "BindTop",
		"Centred", "Classic", "ScaleFit", "WideTurn", "Pad", "PadBefore", "PadSplit",
		"Count", "PagesText",
	},
	"printer": {"Facts", "Pass", "FrontPass", "BackPass", "BothPass", "Automatic", "LastPageFirst", "ShortEdge", "Registration", "Scaling", "Scalings"},
	"job": {
		"Options", "Plan", "PlanSource", "PlanFile", "PlanError", "ReadPlan", "FindSource", "OtherSource",
		"Half", "LeftHalf", "RightHalf", "Box", "BoxTrim", "BoxMedia", "BoxContent", "CutByRun", "Marks", "Dimensions", "Starts",
		"SplitSpreads", "SplitAt", "FirstByWidth", "FirstDouble",
	},
}

// planning is the methods that would tell where the planner has put something.
var planning = []string{"Arrange", "ArrangeStacks", "Place", "Trimmed", "At", "PanelSize", "Correction"}

func TestThePlannerIsNotAsked(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	named := map[string]int{}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if call, ok := n.(*ast.CallExpr); ok {
				if sel, ok := call.Fun.(*ast.SelectorExpr); ok && slices.Contains(planning, sel.Sel.Name) {
					if x, ok := sel.X.(*ast.Ident); !ok || x.Name != "seen" { // virtual.Seen has a Place of its own
						t.Errorf("%s calls %s", name, sel.Sel.Name)
					}
				}
			}
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if pkg, ok := sel.X.(*ast.Ident); ok {
				if list, ok := allowed[pkg.Name]; ok {
					named[pkg.Name]++
					if !slices.Contains(list, sel.Sel.Name) {
						t.Errorf("%s uses %s.%s", name, pkg.Name, sel.Sel.Name)
					}
				}
			}
			return true
		})
	}
	for pkg := range allowed {
		if named[pkg] == 0 {
			t.Errorf("no use of package %s found: is it still imported by this name?", pkg)
		}
	}
}
