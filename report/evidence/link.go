package evidence

import (
	"net/url"
	"path/filepath"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/report"
)

// linkLimit is the length up to which browsers follow a link without fail.
const linkLimit = 2000

// captures knows the files of the input.
type captures struct {
	dir string // absolute path of the folder of pages, "" when nothing is linked
	of  map[place]*listing.Capture
	// named finds the file of a name with its entry, as evidence has it.
	named map[string]place
}

type place struct{ file, entry string }

func newCaptures(run *report.Run, dir string) captures {
	c := captures{of: make(map[place]*listing.Capture, len(run.Captures)),
		named: make(map[string]place, len(run.Captures))}
	if dir != "" {
		if abs, err := filepath.Abs(filepath.Join(dir, folder)); err == nil {
			c.dir = abs
		}
	}
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

// link is the way from the folder of pages to a file of the input, escaped so
// that no name can act as another kind of address. "" when there is none, or
// when the file is not of the input.
func (c captures) link(file string) string {
	if _, known := c.of[place{file, ""}]; !known || c.dir == "" {
		return ""
	}
	to, err := filepath.Abs(filepath.FromSlash(file))
	if err != nil {
		return ""
	}
	rel, err := filepath.Rel(c.dir, to)
	if err != nil {
		return ""
	}
	steps := strings.Split(filepath.ToSlash(rel), "/")
	for i, s := range steps {
		steps[i] = strings.ReplaceAll(url.PathEscape(s), ":", "%3A")
	}
	if link := strings.Join(steps, "/"); len(link) <= linkLimit {
		return link
	}
	return ""
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
