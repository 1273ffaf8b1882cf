package compare

import (
	"io"

	"counterfoil/report"
)

// Files are the files of a comparison's report, for [report.Write] into run.Out.
func Files(run *Run, res *Result) []report.File {
	dir := run.Out
	if run.Casebook != "" {
		dir = "" // where its captures are now is not known
	}
	return []report.File{
		{Name: "changes.xlsx", Write: func(w io.Writer) error { return WriteWorkbook(w, run, res, dir) }},
		{Name: "changes.ndjson", Write: func(w io.Writer) error { return WriteChanges(w, res) }},
		{Name: "run.json", Write: func(w io.Writer) error { return WriteRun(w, run, res) }},
	}
}
