package report_test

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/report"
)

// tree reads all files under dir.
func tree(t *testing.T, dir string) map[string]string {
	t.Helper()
	got := map[string]string{}
	require.NoError(t, fs.WalkDir(os.DirFS(dir), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(filepath.Join(dir, name))
		got[name] = string(data)
		return err
	}))
	return got
}

func gone(name string) report.File { return report.File{Name: name} }

func TestWriteIntoFolders(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, report.Write(dir, text("pages/1", "1"), text("pages/2", "1"), text("pages/in/3", "1"), text("run", "1")))
	assert.Equal(t, map[string]string{"pages/1": "1", "pages/2": "1", "pages/in/3": "1", "run": "1"}, tree(t, dir))

	// What the next set no longer has goes; a file that is not of the set stays.
	require.NoError(t, os.WriteFile(filepath.Join(dir, "pages", "note"), []byte("mine"), 0o666))
	require.NoError(t, report.Write(dir, text("pages/1", "2"), gone("pages/2"), gone("pages/in/3"), gone("pages/never"), gone("no/where"), text("run", "2")))
	assert.Equal(t, map[string]string{"pages/1": "2", "pages/note": "mine", "run": "2"}, tree(t, dir))
	assert.NoDirExists(t, filepath.Join(dir, "pages", "in"), "an emptied folder goes too")
}

func TestFailureRestoresFolders(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, report.Write(dir, text("pages/1", "1"), text("pages/2", "1"), text("run", "1")))
	before := tree(t, dir)
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "taken"), 0o777))
	err := report.Write(dir, text("pages/1", "2"), gone("pages/2"), text("pages/3", "2"), text("new/4", "2"), text("taken", "2"))
	require.ErrorContains(t, err, "not a file")
	assert.Equal(t, before, tree(t, dir))
	assert.NoDirExists(t, filepath.Join(dir, "new"))
}

// A link in the place of a folder could lead into the input.
func TestWriteFollowsNoLink(t *testing.T) {
	dir, elsewhere := t.TempDir(), t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(elsewhere, "1"), []byte("theirs"), 0o666))
	require.NoError(t, os.Symlink(elsewhere, filepath.Join(dir, "pages")))
	for _, f := range []report.File{text("pages/1", "2"), text("pages/2", "2"), gone("pages/1")} {
		require.ErrorContains(t, report.Write(dir, f), "is not a folder")
	}
	assert.Equal(t, map[string]string{"1": "theirs"}, tree(t, elsewhere))
	for _, name := range []string{"../1", "/1", "pages/../../1", ""} {
		require.ErrorContains(t, report.Write(dir, text(name, "2")), "leads out of the folder", name)
	}
}

func TestWriteBoundsItsWriters(t *testing.T) {
	var now, most atomic.Int32
	var files []report.File
	for i := range 60 {
		files = append(files, report.File{Name: fmt.Sprintf("pages/%d", i), Write: func(w io.Writer) error {
			most.Store(max(most.Load(), now.Add(1)))
			_, err := io.WriteString(w, "x")
			now.Add(-1)
			return err
		}})
	}
	require.NoError(t, report.Write(t.TempDir(), files...))
	assert.LessOrEqual(t, most.Load(), int32(8))
	var we *report.WriteError
	require.ErrorAs(t, report.Write(t.TempDir(), append(files, report.File{Name: "pages/x", Write: func(io.Writer) error { return errors.New("no") }})...), &we)
}
