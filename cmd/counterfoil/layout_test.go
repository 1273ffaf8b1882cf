package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// allowed says which of the project's packages a package may import: the data
// flows one way.
func allowed(importer, imported string) bool {
	below := func(p, root string) bool { return p == root || strings.HasPrefix(p, root+"/") }
	switch {
	case below(imported, "parse/listing"):
		return true
	case below(importer, "parse/listing"):
		return false
	case below(importer, "parse"):
		return below(imported, "parse") && imported != "parse"
	case imported == "rules/history":
		return below(importer, "cmd")
	case importer == "rules/history": // it fills an interface of rules
		return below(imported, "rules")
	case below(importer, "rules"):
		return below(imported, "rules") && (importer == "rules" || imported != "rules")
	case importer == "report/unfinished":
		return false
	case importer == "report":
		return below(imported, "rules") || imported == "report/unfinished"
	case importer == "report/labelsheet", importer == "report/compare":
		return below(imported, "rules") || imported == "report" || imported == "report/workbook"
	case below(importer, "report"):
		return below(imported, "rules") || imported == "report" || imported == "report/unfinished"
	}
	return below(importer, "cmd") || below(importer, "fixtures")
}

func TestImportsRunOneWay(t *testing.T) {
	root := filepath.Join("..", "..")
	err := fs.WalkDir(os.DirFS(root), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), filepath.Join(root, name), nil, parser.ImportsOnly)
		require.NoError(t, err)
		for _, spec := range file.Imports {
			imported, err := strconv.Unquote(spec.Path.Value)
			require.NoError(t, err)
			if own, ok := strings.CutPrefix(imported, "counterfoil/"); ok {
				assert.True(t, allowed(path.Dir(name), own), "%s must not import %s", name, imported)
			}
			if imported == "github.com/PuerkitoBio/goquery" {
				assert.Contains(t, []string{"parse/savedpage", "fixtures/plainscript"}, path.Dir(name))
			}
			if imported == "github.com/xuri/excelize/v2" {
				assert.Contains(t, []string{"parse/table", "report/workbook", "report/labelsheet", "report/compare"}, path.Dir(name))
			}
			if strings.HasPrefix(imported, "modernc.org/sqlite") {
				assert.Equal(t, "rules/history", path.Dir(name))
			}
			if strings.HasPrefix(name, "parse/listing/") && !strings.HasPrefix(name, "parse/listing/strict/") {
				assert.NotContains(t, imported, ".", "%s: standard library only", name)
			}
		}
		return nil
	})
	require.NoError(t, err)
}

func TestTopLevel(t *testing.T) {
	entries, err := os.ReadDir(filepath.Join("..", ".."))
	require.NoError(t, err)
	want := []string{"DEVELOPERS.md", "README.md", "cmd", "fixtures", "go.mod", "go.sum", "parse", "report", "rules"}
	var got []string
	for _, e := range entries {
		// A user who ran the README's commands has their reports here too.
		if !strings.HasPrefix(e.Name(), ".") && !slices.Contains([]string{"demo-audit", "counterfoil-audit", "counterfoil-packs", "counterfoil-changes", "counterfoil"}, e.Name()) {
			got = append(got, e.Name())
		}
	}
	assert.Equal(t, want, got)
}
