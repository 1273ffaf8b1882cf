package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"counterfoil/fixtures/export"
)

// BenchmarkAudit runs the whole audit over an invented export, all rows to the
// workbook.
func BenchmarkAudit(b *testing.B) {
	for _, rows := range []int{1_000, 10_000, 100_000} {
		b.Run(fmt.Sprintf("rows%d", rows), func(b *testing.B) {
			dir := b.TempDir()
			file := filepath.Join(dir, "in", "export.csv")
			if err := os.Mkdir(filepath.Dir(file), 0o755); err != nil {
				b.Fatal(err)
			}
			f, err := os.Create(file)
			if err != nil {
				b.Fatal(err)
			}
			if err := export.Write(f, rows, 1, nil); err != nil {
				b.Fatal(err)
			}
			if err := f.Close(); err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				var stderr bytes.Buffer
				args := []string{"audit", file, "--out", filepath.Join(dir, "out"), "--as-of", "2026-10-01", "--quiet"}
				if code := run(context.Background(), args, &bytes.Buffer{}, &stderr); code != exitDone {
					b.Fatalf("exit %d: %s", code, stderr.String())
				}
			}
			b.ReportMetric(float64(rows)*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
		})
	}
}
