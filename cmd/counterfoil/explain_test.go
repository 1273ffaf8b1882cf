package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse"
)

// Every selector of the example finds its field on every page of the demo
// marketplace that it is written for, and agrees with what is found without it.
func TestExamplePagesFile(t *testing.T) {
	root := filepath.Join("..", "..", "fixtures")
	name := filepath.Join(root, "settings", "pages.yaml")
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	sites, err := parse.ReadPages(name, data)
	require.NoError(t, err)
	require.Len(t, sites, 1)
	input := []string{filepath.Join(root, "demo", "pages", "teilekai")}
	with, err := parse.Read(context.Background(), input, parse.Options{Pages: sites, Explain: true})
	require.NoError(t, err)
	defer with.Close()
	without, err := parse.Read(context.Background(), input, parse.Options{})
	require.NoError(t, err)
	defer without.Close()

	found := map[string]int{}
	for _, e := range with.Explained {
		for _, c := range e.Candidates {
			if c.Won && c.Why == "the user's selector" {
				found[c.Field.String()]++
			}
		}
	}
	for _, f := range sites[0].Fields {
		assert.Positive(t, found[f.Field.String()], f.Field.String())
	}
	require.NotEmpty(t, with.Listings)
	require.Equal(t, len(without.Listings), len(with.Listings))
	for i, l := range with.Listings {
		for _, f := range sites[0].Fields {
			if other, ok := without.Listings[i].Get(f.Field); ok {
				assert.Equal(t, strings.Fields(other.Value), strings.Fields(l.Value(f.Field)), "%s: %s", l.File, f.Field)
			}
		}
	}
}

func TestExplainIsOneLineACandidate(t *testing.T) {
	name := filepath.Join(t.TempDir(), "page.html")
	require.NoError(t, os.WriteFile(name, []byte(`<!DOCTYPE html><html><head><title>T</title><script type="application/ld+json">
{"@type":"Product","name":"Halden\nturbo\u001b[31m\tred \u202egnp","offers":{"@type":"Offer","price":"5.00","priceCurrency":"EUR"}}</script></head><body><h1>T</h1></body></html>`), 0o644))
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"extract", "--explain", name}, &stdout, &stderr), stderr.String())
	assert.NotContains(t, stdout.String(), "\x1b")
	assert.NotContains(t, stdout.String(), "\u202e")
	assert.Contains(t, stdout.String(), "Halden turbo⟨U+001B⟩[31m red")
	for _, line := range strings.Split(strings.TrimSpace(stdout.String()), "\n")[5:] {
		assert.Contains(t, []string{"* ", "  "}, line[:2], line)
	}
}
