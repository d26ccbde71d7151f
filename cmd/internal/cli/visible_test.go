package cli

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestEveryMessageIsWrittenVisibly looks for what package fmt writes to a person: only package visible
// knows our ends of lines from those of a name.
func TestEveryMessageIsWrittenVisibly(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil || len(files) == 0 {
		t.Fatalf("no files: %v", err)
	}
	visibly := 0
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		fset := token.NewFileSet()
		file, err := parser.ParseFile(fset, name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || len(call.Args) == 0 {
				return true
			}
			written, ok := call.Fun.(*ast.SelectorExpr)
			if !ok || !slices.Contains([]string{"Fprint", "Fprintf", "Fprintln"}, written.Sel.Name) {
				return true
			}
			to, ok := call.Args[0].(*ast.SelectorExpr)
			if !ok || to.Sel.Name != "Err" && to.Sel.Name != "Out" {
				return true
			}
			if pkg, ok := written.X.(*ast.Ident); ok && pkg.Name == "visible" {
				visibly++
				return true
			}
			if !oursAlone(call) {
				t.Errorf("%s: write it with package visible", fset.Position(call.Pos()))
			}
			return true
		})
	}
	if visibly < 20 {
		t.Errorf("only %d messages were found", visibly)
	}
}

// oursAlone tells whether nothing but texts of ours, and what YAML or a simulation has made of others, is written.
func oursAlone(call *ast.CallExpr) bool {
	for _, arg := range call.Args[1:] {
		switch a := arg.(type) {
		case *ast.BasicLit:
		case *ast.Ident:
			if a.Name != "data" { // a profile as YAML
				return false
			}
		case *ast.CallExpr:
			if s, ok := a.Fun.(*ast.SelectorExpr); !ok || s.Sel.Name != "Text" { // of the outcome of a simulation
				return false
			}
		default:
			return false
		}
	}
	return true
}
