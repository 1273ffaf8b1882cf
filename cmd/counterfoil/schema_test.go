package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const schemaDir = "../../fixtures/schema"

// schemas are the published ones (JSON Schema, draft 2020-12) by name. That each
// is valid by its meta-schema is for the compiler to check.
var schemas = sync.OnceValues(func() (map[string]*jsonschema.Schema, error) {
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	files, err := filepath.Glob(filepath.Join(schemaDir, "*.schema.json"))
	if err != nil {
		return nil, err
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			return nil, err
		}
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
		if err != nil {
			return nil, fmt.Errorf("%s: %w", file, err)
		}
		if err := c.AddResource(urn(file), doc); err != nil {
			return nil, err
		}
	}
	all := map[string]*jsonschema.Schema{}
	for _, file := range files {
		if all[nameOf(file)], err = c.Compile(urn(file)); err != nil {
			return nil, err
		}
	}
	return all, nil
})

func nameOf(file string) string { return strings.TrimSuffix(filepath.Base(file), ".schema.json") }

func urn(file string) string { return "urn:counterfoil:" + nameOf(file) + ":1" }

// outputs are the files of reports with the schema that they follow, the
// longest way down first.
var outputs = []struct{ file, schema string }{
	{"data/findings.json", "findings"}, {"data/run.json", "run"},
	{"suspects.ndjson", "suspects"}, {"suspects.csv", "suspects-csv"}, {"changes.ndjson", "changes"}, {"run.json", "run"},
}

// checkOutput holds a file against a schema: each line of NDJSON, each record of
// a table, or the whole text. It returns the number of what it checked.
func checkOutput(file string, data []byte, schema string) (int, error) {
	all, err := schemas()
	if err != nil {
		return 0, err
	}
	s := all[schema]
	if s == nil {
		return 0, fmt.Errorf("there is no schema %s", schema)
	}
	var parts [][]byte
	switch filepath.Ext(file) {
	case ".csv":
		if parts, err = recordsOf(data); err != nil {
			return 0, err
		}
	case ".json":
		parts = [][]byte{data}
	default:
		parts = slices.Collect(bytes.Lines(data))
	}
	for i, part := range parts {
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(part))
		if err == nil {
			err = s.Validate(v)
		}
		if err != nil {
			return i, fmt.Errorf("%s, part %d, by schema %s: %w", file, i+1, schema, err)
		}
	}
	return len(parts), nil
}

// recordsOf turns the records of a table into JSON objects.
func recordsOf(data []byte) ([][]byte, error) {
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	var parts [][]byte
	for _, row := range rows[1:] {
		record := map[string]string{}
		for i, head := range rows[0] {
			record[head] = row[i]
		}
		part, err := json.Marshal(record)
		if err != nil {
			return nil, err
		}
		parts = append(parts, part)
	}
	return parts, nil
}

// checkFolder holds every file of a report or of packages against its schema.
func checkFolder(dir string) error {
	return filepath.WalkDir(dir, func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			if err == nil && d.Name() == "captures" {
				return fs.SkipDir // not ours
			}
			return err
		}
		for _, o := range outputs {
			if !strings.HasSuffix(filepath.ToSlash(file), "/"+o.file) {
				continue
			}
			data, err := os.ReadFile(file)
			if err != nil {
				return err
			}
			schema := o.schema
			if schema == "run" && bytes.Contains(data, []byte(`"command": "compare"`)) {
				schema = "compare-run"
			}
			_, err = checkOutput(file, data, schema)
			return err
		}
		return nil
	})
}

// checkOutputs holds what a command of a script wrote against the schemas.
func checkOutputs(ts *testscript.TestScript, args []string) {
	stdout := []byte(ts.ReadFile("stdout"))
	switch {
	case args[0] == "extract" && !slices.Contains(args, "--explain"):
		_, err := checkOutput("stdout", stdout, "extract")
		ts.Check(err)
	case args[0] == "casebook" && args[len(args)-1] == "export":
		_, err := checkOutput("stdout", stdout, "casebook")
		ts.Check(err)
	case slices.Contains([]string{"audit", "compare", "pack"}, args[0]):
		out := map[string]string{"audit": "counterfoil-audit", "compare": "counterfoil-changes", "pack": "counterfoil-packs"}[args[0]]
		if i := slices.Index(args, "--out"); i >= 0 && i+1 < len(args) {
			out = args[i+1]
		}
		if dir := ts.MkAbs(out); exists(dir) {
			ts.Check(checkFolder(dir))
		}
	}
}

func exists(name string) bool {
	_, err := os.Stat(name)
	return err == nil
}

// validates is the script command `validates FILE`: the file is there, is not
// empty and follows its schema.
func validates(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: validates file")
	}
	for _, o := range outputs {
		if filepath.Base(args[0]) == o.file {
			n, err := checkOutput(args[0], []byte(ts.ReadFile(args[0])), o.schema)
			ts.Check(err)
			if n == 0 {
				ts.Fatalf("%s is empty", args[0])
			}
			return
		}
	}
	ts.Fatalf("no schema is known for %s", args[0])
}

// The rules' fixtures bring findings of every rule.
func TestOutputsFollowTheSchema(t *testing.T) {
	const settings = "../../fixtures/settings/"
	audits := [][]string{{"../../fixtures/rules"}, {"../../fixtures/demo", "--makers", settings + "makers.yaml", "--reference", settings + "reference.csv",
		"--rates", settings + "rates.csv", "--equivalents", settings + "equivalents.csv", "--rules", settings + "rules.yaml"}}
	total := 0
	for _, args := range audits {
		out := t.TempDir()
		var stdout, stderr bytes.Buffer
		code := run(context.Background(), append([]string{"audit", "--quiet", "--evidence-pages", "0", "--format", "csv", "--out", out, "--as-of", "2026-10-01"}, args...), &stdout, &stderr)
		require.Contains(t, []int{exitDone, exitPartial}, code, "%v: %s", args, stderr.String())
		require.NoError(t, checkFolder(out), "%v", args)
		for _, name := range []string{"suspects.ndjson", "suspects.csv"} {
			data, err := os.ReadFile(filepath.Join(out, name))
			require.NoError(t, err)
			n, err := checkOutput(name, data, strings.ReplaceAll(strings.TrimSuffix(name, ".ndjson"), ".", "-"))
			require.NoError(t, err)
			total += n
		}
		stdout.Reset()
		code = run(context.Background(), []string{"extract", "--quiet", "--problems", args[0]}, &stdout, &stderr)
		require.Contains(t, []int{exitDone, exitPartial}, code, stderr.String())
		n, err := checkOutput("stdout", stdout.Bytes(), "extract")
		require.NoError(t, err)
		total += n
	}
	assert.Greater(t, total, 3*800)
}

// What a schema does not know, it refuses.
func TestSchemaIsStrict(t *testing.T) {
	all, err := schemas()
	require.NoError(t, err)
	assert.Len(t, all, 9)
	schema := all["suspects"]
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
	for name, text := range map[string]string{
		"extract":  `{"record":"problem","severity":"refused","file":"a","reason":"a","more":1}`,
		"listings": `{"listing":"a","file":"a","sha256":"` + strings.Repeat("0", 64) + `","fields":{},"photos":null,"more":1}`,
		"changes":  `{"n":1,"kind":"proved-fake","attention":"routine","statement":"x","innocent":"y","evidence":[]}`,
		"casebook": `{"record":"decision","listing":"a","word":"x","note":"","evidence":"","decided_at":"yesterday"}`,
	} {
		v, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
		require.NoError(t, err)
		assert.Error(t, all[name].Validate(v), name)
	}
}
