package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// extractTo runs extract over some inputs into a file.
func extractTo(t *testing.T, name string, inputs ...string) string {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code := run(context.Background(), append([]string{"extract", "--quiet", "--problems"}, inputs...), &stdout, &stderr)
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
	assert.True(t, string(single) == string(data))
}

// badShards are two parts of an input, each with something of everything that
// cannot be read.
func badShards(t *testing.T) {
	const head = "listing_id,seller,title,part_number,price,currency,condition,quantity_available,serial_number,Zodiac sign\n"
	for _, part := range []string{"a", "b"} {
		page := func(price string) string {
			return `<!DOCTYPE html><title>x</title><link rel="canonical" href="https://parts.example/item/` + part + `"><script type="application/ld+json">{"@type":"Product","name":"Halden turbocharger","sku":"` + part +
				`","image":"new_files/broken.jpg","offers":{"@type":"Offer","price":"` + price + `","priceCurrency":"EUR"}}</script><img src="new_files/broken.jpg">`
		}
		for name, text := range map[string]string{
			"offers.csv": head + part + "-1,Alfa,Halden turbocharger,712345-0012,900.00,EUR,new,1,K201,Leo\n" +
				part + "-2,Beta,Halden turbocharger,712345-0012,900.00\n" +
				part + "-3,Gamma,Halden turbocharger,712345-0012,\"12,5O\",EUR,new,many,K201,Leo\n" +
				part + "-1,Delta,Halden turbocharger,712345-0012,890.00,EUR,new,1,K202,Leo\n",
			"empty.csv":            "",
			"lines.json":           `{"listing_id":"` + part + `-9","title":"Halden turbocharger","price":"410.00","currency":"EUR"}` + "\nnot JSON\n",
			"old.html":             page("905.00"),
			"new.html":             page("650.00"),
			"none.html":            "<!DOCTYPE html><p>The offer has ended.",
			"cut.zip":              "PK\x03\x04 and no more",
			"noise.bin":            "\x00\x01\x02\x00\xff\xfe\x00",
			"new_files/broken.jpg": "\xff\xd8\xff\xe0 and no picture",
			"loose.png":            "\x89PNG\r\n\x1a\n and no more",
			"paper.pdf":            "%PDF-1.7",
		} {
			name = filepath.Join("in", part, name)
			require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o777))
			require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
		}
		require.NoError(t, os.Symlink("offers.csv", filepath.Join("in", part, "link.csv")))
	}
}

// What could not be read travels with the extracts: an audit of them says of every
// file and row what an audit of the files says, and counts it once, even where
// parts overlap. run.json differs in what it names as read.
func TestShardsTellWhatCouldNotBeRead(t *testing.T) {
	t.Chdir(t.TempDir())
	badShards(t)
	var shards []string
	for _, part := range []string{"a", "b"} {
		var stdout, stderr bytes.Buffer
		require.Equal(t, exitPartial, run(context.Background(), []string{"extract", "in/" + part}, &stdout, &stderr))
		listings := stdout.String()
		require.NotContains(t, listings, `"record":"problem"`)
		stdout.Reset()
		require.Equal(t, exitPartial, run(context.Background(), []string{"extract", "--problems", "in/" + part}, &stdout, &stderr))
		require.True(t, strings.HasPrefix(stdout.String(), listings+`{"record":"problem"`))
		shards = append(shards, part+".ndjson")
		require.NoError(t, os.WriteFile(part+".ndjson", stdout.Bytes(), 0o644))
	}
	// reported are the outputs of an audit, and of its account what does not name
	// the inputs.
	reported := func(inputs ...string) (files map[string]string) {
		out := t.TempDir()
		var stdout, stderr bytes.Buffer
		require.Equal(t, exitPartial, run(context.Background(), append([]string{"audit", "--as-of", "2026-10-01", "--format", "csv", "--evidence-pages", "0", "--out", out}, inputs...), &stdout, &stderr), stderr.String())
		files = map[string]string{}
		for _, name := range []string{"suspects.ndjson", "suspects.csv"} {
			data, err := os.ReadFile(filepath.Join(out, name))
			require.NoError(t, err)
			files[name] = string(data)
		}
		data, err := os.ReadFile(filepath.Join(out, "run.json"))
		require.NoError(t, err)
		var account map[string]json.RawMessage
		require.NoError(t, json.Unmarshal(data, &account))
		for _, part := range []string{"problems", "warnings", "currency"} {
			files[part] = string(account[part])
		}
		var counts map[string]any
		require.NoError(t, json.Unmarshal(account["counts"], &counts))
		delete(counts, "read")
		files["counts"] = fmt.Sprint(counts)
		return files
	}
	whole := reported("in")
	for _, reason := range []string{"the file is empty", "stands in row 2 already", "is not a quantity", "not a JSON object", "the same listing as in", "no page and no table row names",
		"links are not followed"} {
		assert.Equal(t, 2, strings.Count(whole["problems"], reason), reason)
	}
	require.Contains(t, whole["problems"], "broken.jpg")
	same := func(want, got map[string]string, what string) {
		for name := range want {
			a, b := strings.Split(want[name], "\n"), strings.Split(got[name], "\n")
			for i := range min(len(a), len(b)) {
				require.Equal(t, a[i], b[i], "%s: line %d of %s", what, i+1, name)
			}
			require.Len(t, b, len(a), "%s: lines of %s", what, name)
		}
	}
	same(whole, reported(shards...), "parts")
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitPartial, run(context.Background(), append([]string{"extract", "--quiet", "--problems"}, shards...), &stdout, &stderr))
	require.NoError(t, os.WriteFile("again.ndjson", stdout.Bytes(), 0o644))
	same(whole, reported("again.ndjson"), "an extract of extracts")
	// A part of which nothing could be read is no unreadable extract.
	none := strings.Join(slices.DeleteFunc(slices.Collect(strings.Lines(stdout.String())), func(line string) bool { return !strings.HasPrefix(line, `{"record":"problem"`) }), "")
	require.NoError(t, os.WriteFile("none.ndjson", []byte(none), 0o644))
	same(map[string]string{"problems": whole["problems"]}, reported("none.ndjson"), "problems alone")
	// Where parts overlap, that is said, and nothing counts as unread twice.
	lost := func(problems string) (list []listing.ProblemLine) {
		require.NoError(t, json.Unmarshal([]byte(problems), &list))
		return slices.DeleteFunc(list, func(p listing.ProblemLine) bool { return p.Severity == listing.Notice })
	}
	assert.Equal(t, lost(whole["problems"]), lost(reported(shards[1], shards[0], "in/b")["problems"]))
}
