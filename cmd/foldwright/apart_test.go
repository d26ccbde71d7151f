package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// oracle is a package by which the work of others is judged. If it borrowed their
// arithmetic it would repeat their mistakes.
type oracle struct {
	folder string
	// may is what it may name of the packages that plan: types and words.
	may map[string][]string
	// never is methods of theirs that would tell where something has been put.
	never []string
}

var oracles = []oracle{
	{
		folder: "printer/virtual",
		may: map[string][]string{
			"geom": {"Size", "Point"},
			// A printer is what its facts say, and no more is asked of them.
			"printer": {
				"Facts", "TwoSided", "ByHand", "Automatic", "FeedFace", "FeedUp", "FeedDown", "FeedFrom", "FromTop", "FromBottom",
				"Lands", "FaceUp", "FaceDown", "Stacks", "OnTop", "Beneath", "Sends", "FirstPageFirst", "LastPageFirst",
				"Reload", "AsDelivered", "RotateHalf", "TurnLong", "TurnShort", "FlipEdge", "LongEdge", "ShortEdge",
			},
		},
		never: []string{"Check", "Files", "Turns", "ImagesOut", "SheetsOut", "Deliver", "PutBack", "Feed", "TurnOver"},
	},
	{folder: "reorder/paper", may: map[string][]string{"geom": {"Size", "Rect", "Point", "Towards", "Up", "Left", "Right", "Down"}, "reorder": {
		"Side", "Front", "Back", "Sheet", "Panel",
		// What is to be done, as it is told; how it is done is known here only.
		"Motion", "Deal", "LayDown", "CutPile", "CutApart", "CutOffInset", "LayIn", "FoldOver", "SlitBolt", "NestPieces",
		"Join", "Pleat", "Present", "OpenBolts", "Line", "Level", "Upright", "Over", "RightOverLeft", "LeftOverRight", "FarOverNear", "NearOverFar", "Sewn",
	}}},
	{folder: "reorder/paper/papertest", may: map[string][]string{"geom": {"Size", "Point", "Towards", "Up", "Left", "Right", "Down"}, "reorder": {
		"Sheet", "Panel", "Nest", "Inset", "Together", "Bind", "BindLeft", "BindRight", "BindTop",
		"Level", "Upright", "Over", "RightOverLeft", "LeftOverRight", "FarOverNear",
	}}},
	{
		// Of a plan a proof may know what it says, and arithmetic on lengths;
		// Form.Handwork is what the hands are told, and paper finds out what comes of it.
		folder: "cmd/internal/proof",
		may: map[string][]string{
			"geom": {"Size", "Rect", "Point", "Matrix", "Identity", "Translate", "Enlarge", "Rotate", "HalfTurn",
				"Towards", "Up", "Left", "Down", "Right"},
			"reorder": {
				"Side", "Front", "Back",
				"Sixteenmo", "Loose", "Pouch", "Concertina", "Bind", "BindLeft", "BindTop",
				"InMiddle", "Classic", "NumbersOuter", "ScaleFit", "WideTurn", "Pad", "PadBefore", "PadSplit",
				"Count", "PagesText",
				// Leaves of other paper: how they are held, and where hands cut and fold them.
				"Wrapped", "Guard", "Level", "Upright", "RightOverLeft", "LeftOverRight", "FarOverNear", "NearOverFar",
			},
			"printer": {"Facts", "Pass", "FrontPass", "BackPass", "BothPass", "Automatic", "LastPageFirst", "ShortEdge", "Registration", "Scaling", "Scalings"},
			"options": {"Options", "CutByRun", "Marks", "Starts"},
			// What each page of the source shows; nothing of the plan goes into it.
			"survey": {"Source", "Open", "Survey", "Look", "Shown"},
			"plan":   {"Plan", "Run", "Read", "FindSources", "Insert"},
		},
		never: []string{"Arrange", "ArrangeStacks", "Place", "TrimmedRect", "At", "PanelSize", "Correction",
			"Files", "ImagesOut", "SheetsOut", "Deliver", "PutBack", "Feed", "Stacks", "RunsOf", "SizesFor", "Placing", "TrimOf", "CreepIn"},
	},
}

// TestOraclesAskNoPlanner looks at every name that an oracle's code takes from
// the packages that plan.
func TestOraclesAskNoPlanner(t *testing.T) {
	for _, o := range oracles {
		files, err := filepath.Glob(filepath.Join("../..", o.folder, "*.go"))
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
					o.called(t, name, call)
				}
				if sel, ok := n.(*ast.SelectorExpr); ok {
					o.named(t, name, sel, named)
				}
				return true
			})
		}
		for pkg := range o.may {
			if named[pkg] == 0 {
				t.Errorf("%s: no use of package %s found: is it still imported by this name?", o.folder, pkg)
			}
		}
	}
}

func (o oracle) called(t *testing.T, file string, call *ast.CallExpr) {
	sel, ok := call.Fun.(*ast.SelectorExpr)
	if !ok || !slices.Contains(o.never, sel.Sel.Name) {
		return
	}
	if x, ok := sel.X.(*ast.Ident); !ok || x.Name != "seen" { // virtual.Seen has a Place of its own
		t.Errorf("%s calls %s", file, sel.Sel.Name)
	}
}

func (o oracle) named(t *testing.T, file string, sel *ast.SelectorExpr, named map[string]int) {
	pkg, ok := sel.X.(*ast.Ident)
	if !ok {
		return
	}
	if may, ok := o.may[pkg.Name]; ok {
		named[pkg.Name]++
		if !slices.Contains(may, sel.Sel.Name) {
			t.Errorf("%s uses %s.%s", file, pkg.Name, sel.Sel.Name)
		}
	}
}
