package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const schemaFile = "../../fixtures/schema/suspects.schema.json"

// suspectSchema is the published schema of a line (JSON Schema, draft 2020-12).
func suspectSchema() (*jsonschema.Schema, error) {
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	return c.Compile(schemaFile)
}

// checkLines holds every line of an NDJSON file against the schema, and returns
// the number of lines.
func checkLines(schema *jsonschema.Schema, data []byte) (int, error) {
	n := 0
	for line := range bytes.Lines(data) {
		n++
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(line))
		if err != nil {
			return n, err
		}
		if err := schema.Validate(v); err != nil {
			return n, err
		}
	}
	return n, nil
}

// validates is the script command `validates FILE`.
func validates(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: validates file.ndjson")
	}
	schema, err := suspectSchema()
	ts.Check(err)
	n, err := checkLines(schema, []byte(ts.ReadFile(args[0])))
	ts.Check(err)
	if n == 0 {
		ts.Fatalf("%s is empty", args[0])
	}
}

// The schema itself is valid by its meta-schema: the compiler checks that. The
// rules' fixtures bring findings of every rule.
func TestOutputsFollowTheSchema(t *testing.T) {
	schema, err := suspectSchema()
	require.NoError(t, err)
	const settings = "../../fixtures/settings/"
	audits := [][]string{{"../../fixtures/rules"}, {"../../fixtures/demo", "--makers", settings + "makers.yaml", "--reference", settings + "reference.csv",
		"--rates", settings + "rates.csv", "--equivalents", settings + "equivalents.csv", "--rules", settings + "rules.yaml"}}
	total := 0
	for _, args := range audits {
		out := t.TempDir()
		var stdout, stderr bytes.Buffer
		code := run(context.Background(), append([]string{"audit", "--quiet", "--evidence-pages", "0", "--out", out, "--as-of", "2026-10-01"}, args...), &stdout, &stderr)
		require.Contains(t, []int{exitDone, exitPartial}, code, "%v: %s", args, stderr.String())
		data, err := os.ReadFile(filepath.Join(out, "suspects.ndjson"))
		require.NoError(t, err)
		n, err := checkLines(schema, data)
		require.NoError(t, err, "%v", args)
		total += n
	}
	assert.Greater(t, total, 800)
}

// What the schema does not know, it refuses.
func TestSchemaIsStrict(t *testing.T) {
	schema, err := suspectSchema()
	require.NoError(t, err)
	out := t.TempDir()
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"audit", "--quiet", "--evidence-pages", "0", "--out", out, "../../fixtures/demo"}, &stdout, &stderr), stderr.String())
	data, err := os.ReadFile(filepath.Join(out, "suspects.ndjson"))
	require.NoError(t, err)
	first, _, _ := strings.Cut(string(data), "\n")
	for name, change := range map[string]func(map[string]any){
		"a key more":       func(m map[string]any) { m["verdict"] = "x" },
		"a key less":       func(m map[string]any) { delete(m, "coverage") },
		"a word":           func(m map[string]any) { m["outcome"] = "fake" },
		"a hash":           func(m map[string]any) { m["sha256"] = "abc" },
		"a decision":       func(m map[string]any) { m["decision"] = map[string]any{"word": "buy", "note": "", "stale": false} },
		"a rank":           func(m map[string]any) { m["rank"] = json.Number("0") },
		"a price as float": func(m map[string]any) { m["landed"] = map[string]any{"amount": json.Number("1.5"), "currency": "EUR"} },
	} {
		v, err := jsonschema.UnmarshalJSON(strings.NewReader(first))
		require.NoError(t, err)
		require.NoError(t, schema.Validate(v))
		change(v.(map[string]any))
		assert.Error(t, schema.Validate(v), name)
	}
}
