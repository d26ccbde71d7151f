package paper

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// A simulator that borrowed the planner's arithmetic would repeat its mistakes:
// of package reorder only the plain types may be named here.
func TestNothingOfThePlannerIsUsed(t *testing.T) {
	allowed := []string{
		"Size", "Rect", "Point", "Side", "Front", "Back", "Towards", "Up", "Left", "Right", "Down", "Sheet", "Panel",
		// What is to be done, as it is told; how it is done is known here only.
		"Motion", "Deal", "LayDown", "CutPile", "CutApart", "CutOffInset", "LayIn", "FoldOver", "SlitBolt", "NestPieces",
		"Join", "Pleat", "Present", "OpenBolts", "Level", "Upright", "Over", "RightOverLeft", "LeftOverRight", "FarOverNear", "NearOverFar", "Sewn",
	}
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	named := 0
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if pkg, ok := sel.X.(*ast.Ident); ok && pkg.Name == "reorder" {
				named++
				if !slices.Contains(allowed, sel.Sel.Name) {
					t.Errorf("%s uses reorder.%s", name, sel.Sel.Name)
				}
			}
			return true
		})
	}
	if named == 0 {
		t.Error("no use of package reorder found: is it still imported by this name?")
	}
}
