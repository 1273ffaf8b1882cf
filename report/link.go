package report

import (
	"net/url"
	"path/filepath"
	"strings"
)

// linkLimit is the length of a link that programs follow without fail.
const linkLimit = 2000

// Link is the way from a folder to a file, relative and escaped so that no name
// can act as another kind of address. "" when there is none, for instance on
// another drive, or when it would be too long. folder is a path of the system,
// file one with forward slashes; both may be relative to the working folder.
func Link(folder, file string) string {
	if folder == "" || file == "" {
		return ""
	}
	from, err := filepath.Abs(folder)
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
