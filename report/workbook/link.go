package workbook

import (
	"net/url"
	"path/filepath"
	"strings"
)

// linkLimit is the length of a link that spreadsheet programs accept.
const linkLimit = 2000

// captureLink is the way from the folder of the workbook to a file of the
// input, escaped so that no name can act as another kind of address. "" when
// there is none, for instance on another drive.
func captureLink(dir, file string) string {
	if dir == "" || file == "" {
		return ""
	}
	from, err := filepath.Abs(dir)
	if err != nil {
		return ""
	}
	to, err := filepath.Abs(filepath.FromSlash(file))
	if err != nil {
		return ""
	}
	rel, err := filepath.Rel(from, to)
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
