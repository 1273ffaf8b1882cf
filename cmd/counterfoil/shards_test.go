package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// extractTo runs extract over some inputs into a file.
func extractTo(t *testing.T, name string, inputs ...string) string {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code := run(context.Background(), append([]string{"extract", "--quiet"}, inputs...), &stdout, &stderr)
	require.Equal(t, exitDone, code, stderr.String())
	require.NoError(t, os.WriteFile(name, stdout.Bytes(), 0o644))
	return name
}

// auditTo audits some inputs and gives suspects.ndjson.
func auditTo(t *testing.T, out string, inputs ...string) []byte {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code := run(context.Background(), append([]string{"audit", "--quiet", "--as-of", "2026-10-01", "--out", out}, inputs...), &stdout, &stderr)
	require.Equal(t, exitDone, code, stderr.String())
	data, err := os.ReadFile(filepath.Join(out, "suspects.ndjson"))
	require.NoError(t, err)
	return data
}

// Parts of the input that were extracted apart, on other machines perhaps, give
// the ranking of a single run, without the photos being read again. run.json
// differs by nature: it names the extracts, with their hashes, as what was
// read.
func TestShards(t *testing.T) {
	demo := filepath.Join("..", "..", "fixtures", "demo")
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	whole := auditTo(t, at("whole"), demo)
	var shards []string
	parts := [][]string{{"pages/gearlane", "photos"}, {"export.csv"}, {"pages/teilekai", "pages/partsmoor"}}
	for i, part := range parts {
		var inputs []string
		for _, p := range part {
			if _, err := os.Stat(filepath.Join(demo, p)); err == nil {
				inputs = append(inputs, filepath.Join(demo, p))
			}
		}
		shards = append(shards, extractTo(t, at(string(rune('a'+i))+".ndjson"), inputs...))
	}
	assert.Equal(t, string(whole), string(auditTo(t, at("shards"), shards...)))
	// An extract of extracts, in another order, says the same.
	again := extractTo(t, at("again.ndjson"), shards[2], shards[0], shards[1])
	assert.Equal(t, string(whole), string(auditTo(t, at("twice"), again)))
	single, err := os.ReadFile(extractTo(t, at("single.ndjson"), demo))
	require.NoError(t, err)
	data, err := os.ReadFile(again)
	require.NoError(t, err)
	assert.Equal(t, string(single), string(data))
}
