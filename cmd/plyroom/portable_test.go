package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestLayoutsDoNotDependOnTheProcessor: math.Exp, and all that rests on it, picks
// its instructions by what the processor has, so that its last bit differs from
// machine to machine. Nothing that decides a layout may use it.
func TestLayoutsDoNotDependOnTheProcessor(t *testing.T) {
	differ := map[string]bool{"Exp": true, "Exp2": true, "Expm1": true, "Pow": true, "Sinh": true, "Cosh": true, "Tanh": true, "Gamma": true, "Lgamma": true}
	files := 0
	for _, root := range []string{"../../shapes", "../../nest"} {
		require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			if filepath.Base(path) == "student.go" {
				return nil // tells how sure a study is of differences between nests
			}
			files++
			set := token.NewFileSet()
			f, err := parser.ParseFile(set, path, nil, 0)
			require.NoError(t, err)
			ast.Inspect(f, func(n ast.Node) bool {
				if s, ok := n.(*ast.SelectorExpr); ok && differ[s.Sel.Name] {
					if p, ok := s.X.(*ast.Ident); ok && p.Name == "math" {
						t.Errorf("%s: math.%s", set.Position(s.Pos()), s.Sel.Name)
					}
				}
				return true
			})
			return nil
		}))
	}
	require.Greater(t, files, 100)
}
