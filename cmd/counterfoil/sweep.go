package main

import (
	"fmt"
	"io"
	"path/filepath"

	"counterfoil/report"
	"counterfoil/report/unfinished"
)

// sweep removes from a folder, once something was written there, what killed runs
// left half written, and says so.
func sweep(w io.Writer, dir string) {
	for _, name := range unfinished.Sweep(dir) {
		fmt.Fprintf(w, "counterfoil: removed %s, which a run that was killed had left\n", report.Visible(filepath.Join(dir, name)))
	}
}
