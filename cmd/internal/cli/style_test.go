package cli

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"foldwright/reorder/phrase"
)

func TestStyles(t *testing.T) {
	reprint := phrase.Command{Name: "reprint", Arguments: []string{"my book-print"}, Settings: []phrase.Setting{phrase.Set("sheet", "7,9-11"), phrase.Set("side", "back")}}
	for _, c := range []struct {
		style phrase.Style
		of    interface{ In(phrase.Style) string }
		want  string
	}{
		{flagStyle{}, phrase.Set("sheets", 4), "--sheets 4"},
		{flagStyle{}, phrase.Set("proof"), "--proof"},
		{flagStyle{}, phrase.Set("out", "a b"), `--out "a b"`},
		{flagStyle{}, reprint, `foldwright reprint "my book-print" --sheet 7,9-11 --side back`},
		{reportStyle{}, phrase.Set("sheets", 4), "'sheets: 4'"},
		{reportStyle{}, phrase.Set("memory"), "--memory"},
		{reportStyle{}, reprint, `foldwright reprint "my book-print" --sheet 7,9-11 --side back`},
	} {
		if got := c.of.In(c.style); got != c.want {
			t.Errorf("%T: %s, want %s", c.style, got, c.want)
		}
	}
}

// TestSettingsAreFlags: an option that a sentence names anywhere is one that can be given.
func TestSettingsAreFlags(t *testing.T) {
	known := map[string]bool{}
	everyCommand(t, func(c *cobra.Command) {
		c.Flags().VisitAll(func(f *pflag.Flag) { known[f.Name] = true })
	})
	named := 0
	err := filepath.WalkDir("../../..", func(path string, _ fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || len(call.Args) == 0 {
				return true
			}
			set, ok := call.Fun.(*ast.SelectorExpr)
			key, literal := call.Args[0].(*ast.BasicLit)
			if !ok || !literal || set.Sel.Name != "Set" {
				return true
			}
			if pkg, ok := set.X.(*ast.Ident); !ok || pkg.Name != "phrase" {
				return true
			}
			named++
			if name, err := strconv.Unquote(key.Value); err != nil || !known[name] {
				t.Errorf("%s: no command has the option %s", path, key.Value)
			}
			return true
		})
		return nil
	})
	if err != nil || named < 50 {
		t.Errorf("%d options are named: %v", named, err)
	}
}
