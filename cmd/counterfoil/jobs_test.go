package main

import (
	"archive/zip"
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Pages, a table, photos, an archive, captures of the browser and a damaged file
// together give the same bytes, however many files are read at a time.
func TestJobsGiveTheSameBytes(t *testing.T) {
	dir := t.TempDir()
	demo := filepath.Join("..", "..", "fixtures", "demo")
	var packed bytes.Buffer
	w := zip.NewWriter(&packed)
	require.NoError(t, w.AddFS(os.DirFS(filepath.Join(demo, "pages", "gearlane"))))
	require.NoError(t, w.Close())
	archive := filepath.Join(dir, "pages.zip")
	require.NoError(t, os.WriteFile(archive, packed.Bytes(), 0o666))
	cut := filepath.Join(dir, "cut.zip")
	require.NoError(t, os.WriteFile(cut, packed.Bytes()[:packed.Len()/2], 0o666))
	inputs := []string{filepath.Join(demo, "pages", "partsmoor"), filepath.Join(demo, "export.csv"), filepath.Join(demo, "photos"),
		filepath.Join("..", "..", "fixtures", "captures", "kept"), archive, cut}

	results := func(jobs int) map[string]string {
		t.Helper()
		got := map[string]string{}
		var stdout, stderr bytes.Buffer
		call := func(name string, args ...string) {
			stdout.Reset()
			stderr.Reset()
			code := run(context.Background(), append(append(args, "--jobs", strconv.Itoa(jobs)), inputs...), &stdout, &stderr)
			require.Equal(t, exitPartial, code, stderr.String())
			got[name], got[name+", problems"] = stdout.String(), stderr.String()
		}
		out := filepath.Join(dir, "out")
		call("extract", "extract")
		call("audit", "audit", "--as-of", "2026-10-01", "--out", out)
		for _, name := range []string{"suspects.ndjson", "suspects.xlsx", "run.json"} {
			data, err := os.ReadFile(filepath.Join(out, name))
			require.NoError(t, err)
			got[name] = string(data)
		}
		require.NoError(t, os.RemoveAll(out))
		return got
	}
	want := results(1)
	require.Greater(t, len(want["extract"]), 100_000)
	for _, jobs := range []int{2, 8} {
		for name, got := range results(jobs) {
			assert.True(t, want[name] == got, "%s with %d jobs", name, jobs)
		}
	}
}
