package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"counterfoil/fixtures/export"
	"counterfoil/parse"
	"counterfoil/report"
	"counterfoil/report/workbook"
	"counterfoil/rules"
)

// invented writes an export of so many rows and names the file.
func invented(b *testing.B, rows int) string {
	file := filepath.Join(b.TempDir(), "export.csv")
	f, err := os.Create(file)
	require.NoError(b, err)
	require.NoError(b, export.Write(f, rows, 1, nil))
	require.NoError(b, f.Close())
	return file
}

// BenchmarkStages measures each stage of the audit of an export by itself, on
// what the stage before it gave; rules includes facts.
func BenchmarkStages(b *testing.B) {
	const rows = 10_000
	ctx, file := context.Background(), invented(b, rows)
	opt := rules.Options{AsOf: time.Date(2026, 10, 1, 0, 0, 0, 0, time.UTC)}
	batch, err := parse.Read(ctx, []string{file}, parse.Options{})
	require.NoError(b, err)
	defer batch.Close()
	result, err := rules.Audit(ctx, batch.Listings, opt)
	require.NoError(b, err)
	record := &report.Run{Version: version, AsOf: opt.AsOf}
	for _, stage := range []struct {
		name string
		do   func() error
	}{
		{"read", func() error {
			again, err := parse.Read(ctx, []string{file}, parse.Options{})
			if err == nil {
				again.Close()
			}
			return err
		}},
		{"facts", func() error { _, err := rules.Build(batch.Listings, opt); return err }},
		{"rules", func() error { _, err := rules.Audit(ctx, batch.Listings, opt); return err }},
		{"workbook", func() error { return workbook.Write(io.Discard, result, record, workbook.Options{Rows: rows}) }},
		{"ndjson", func() error { return report.WriteSuspects(io.Discard, record, result) }},
	} {
		b.Run(stage.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				require.NoError(b, stage.do())
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*rows), "ns/row")
		})
	}
}

// BenchmarkAudit runs the whole audit over an invented export, all rows to the
// workbook.
func BenchmarkAudit(b *testing.B) {
	for _, rows := range []int{1_000, 10_000, 100_000} {
		b.Run(fmt.Sprintf("rows%d", rows), func(b *testing.B) {
			file, out := invented(b, rows), filepath.Join(b.TempDir(), "out")
			b.ReportAllocs()
			for b.Loop() {
				var stderr bytes.Buffer
				args := []string{"audit", file, "--out", out, "--rows", strconv.Itoa(rows), "--as-of", "2026-10-01", "--quiet"}
				if code := run(context.Background(), args, &bytes.Buffer{}, &stderr); code != exitDone {
					b.Fatalf("exit %d: %s", code, stderr.String())
				}
			}
			b.ReportMetric(float64(rows)*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
		})
	}
}
