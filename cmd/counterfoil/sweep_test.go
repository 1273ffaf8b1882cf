//go:build linux || darwin

package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/report/unfinished"
)

// An audit removes what a killed one left in its folder, says so, and leaves what
// another one is writing there.
func TestAuditSweeps(t *testing.T) {
	dir := t.TempDir()
	out := filepath.Join(dir, "out")
	offers := filepath.Join(dir, "offers.csv")
	require.NoError(t, os.WriteFile(offers, []byte("listing_id,title,price,currency\nA-1,Halden turbocharger,900.00,EUR\n"), 0o644))
	left := filepath.Join(out, ".unfinished-1")
	require.NoError(t, os.MkdirAll(filepath.Join(left, "pages"), 0o777))
	for _, name := range []string{".lock", "suspects.xlsx", "pages/1.html"} {
		require.NoError(t, os.WriteFile(filepath.Join(left, name), []byte("half"), 0o644))
	}
	living, err := unfinished.Make(out)
	require.NoError(t, err)
	defer living.Remove()
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"audit", "--quiet", "--evidence-pages", "0", "--out", out, offers}, &stdout, &stderr), stderr.String())
	assert.Equal(t, "counterfoil: removed "+left+", which a run that was killed had left\n", stderr.String())
	assert.NoDirExists(t, left)
	assert.DirExists(t, living.Path)
	assert.FileExists(t, filepath.Join(out, "run.json"))
}
