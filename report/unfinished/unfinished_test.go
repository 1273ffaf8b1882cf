//go:build unix && !aix && !solaris

package unfinished

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A process that lives keeps its folder, this one and another one; that of a killed
// one is removed, and nothing else that looks like it.
func TestOnlyTheDeadAreSwept(t *testing.T) {
	if dir := os.Getenv("COUNTERFOIL_TEST_UNFINISHED"); dir != "" {
		f, err := Make(dir)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(f.Path, "half"), []byte("half"), 0o600))
		require.NoError(t, os.Rename(filepath.Join(f.Path, "half"), filepath.Join(f.Path, "ready")))
		time.Sleep(time.Minute)
		return
	}
	dir := t.TempDir()
	own, err := Make(dir)
	require.NoError(t, err)
	kept, err := Make(dir)
	require.NoError(t, err)
	kept.Keep()
	elsewhere := filepath.Join(t.TempDir(), "precious")
	require.NoError(t, os.WriteFile(elsewhere, nil, 0o600))
	for _, name := range []string{".unfinished-mine/letter", ".unfinished-folder/.lock/letter", "unfinished/.lock", "pages/.unfinished-1/.lock"} {
		require.NoError(t, os.MkdirAll(filepath.Join(dir, filepath.Dir(name)), 0o777))
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), nil, 0o600))
	}
	require.NoError(t, os.MkdirAll(filepath.Join(dir, ".unfinished-link"), 0o777))
	require.NoError(t, os.Symlink(elsewhere, filepath.Join(dir, ".unfinished-link", lockName)))
	before := list(t, dir)

	exe, err := os.Executable()
	require.NoError(t, err)
	child := exec.Command(exe, "-test.run", "^TestOnlyTheDeadAreSwept$")
	child.Env = append(os.Environ(), "COUNTERFOIL_TEST_UNFINISHED="+dir)
	require.NoError(t, child.Start())
	var its []string
	require.Eventually(t, func() bool {
		its, _ = filepath.Glob(filepath.Join(dir, ".unfinished-*", "ready"))
		return len(its) == 1
	}, time.Minute, time.Millisecond)
	assert.Empty(t, Sweep(dir), "the other process lives")
	// A link in what it left is removed and not followed.
	require.NoError(t, os.Symlink(elsewhere, filepath.Join(filepath.Dir(its[0]), "link")))
	require.NoError(t, child.Process.Kill())
	child.Wait()
	assert.Equal(t, []string{filepath.Base(filepath.Dir(its[0]))}, Sweep(dir))
	assert.Equal(t, before, list(t, dir))
	assert.FileExists(t, elsewhere)
	assert.Empty(t, Sweep(dir))
	assert.Empty(t, Sweep(filepath.Join(dir, "none")))

	require.NoError(t, own.Remove())
	assert.NoDirExists(t, own.Path)
}

func list(t *testing.T, dir string) (names []string) {
	require.NoError(t, filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		names = append(names, fmt.Sprint(path, " ", d.IsDir()))
		return err
	}))
	return names
}
