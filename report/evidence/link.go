package evidence

import (
	"path/filepath"

	"counterfoil/parse/listing"
	"counterfoil/report"
)

// captures knows the files of the input.
type captures struct {
	way func(file string) string // from the folder of pages; "" for none
	of  map[place]*listing.Capture
	// named finds the file of a name with its entry, as evidence has it.
	named map[string]place
}

// wayFrom leads from the folder of pages in an output folder, nowhere when that
// is "".
func wayFrom(out string) func(file string) string {
	return func(file string) string {
		if out == "" {
			return ""
		}
		return report.Link(filepath.Join(out, folder), file)
	}
}

type place struct{ file, entry string }

func newCaptures(run *report.Run, way func(file string) string) captures {
	c := captures{way: way, of: make(map[place]*listing.Capture, len(run.Captures)),
		named: make(map[string]place, len(run.Captures))}
	for i := range run.Captures {
		at := &run.Captures[i]
		c.of[place{at.File, at.Entry}] = at
		c.named[report.FileText(at.File, at.Entry)] = place{at.File, at.Entry}
		if _, ok := c.of[place{at.File, ""}]; !ok {
			c.of[place{at.File, ""}] = nil // the archive itself
		}
	}
	return c
}

// link is the way from the folder of pages to a file of the input, "" when the
// file is not of it.
func (c captures) link(file string) string {
	if _, known := c.of[place{file, ""}]; !known {
		return ""
	}
	return c.way(file)
}

// fileView names a file of the input.
type fileView struct {
	Name string // with the entry of an archive
	Link string
	SHA  string
}

func (s *Set) file(file, entry, sha string) fileView {
	return fileView{Name: see(report.FileText(file, entry), textLimit), Link: s.files.link(file), SHA: see(sha, textLimit)}
}
