package bagit

import (
	"path"
	"strings"

	"golang.org/x/text/unicode/norm"
)

// payload is the folder of a bag that holds what the bag is for.
const payload = "data/"

// unsafeIn says why a path of a manifest could lead out of the bag, "" if it
// cannot. Windows forms are refused everywhere, since a bag travels.
func unsafeIn(p string) string {
	clean := strings.TrimPrefix(p, "./")
	switch {
	case clean == "":
		return "is empty"
	case strings.HasPrefix(clean, "/"), strings.HasPrefix(clean, `\`):
		return "is absolute"
	case strings.HasPrefix(clean, "~"):
		return "begins with a home folder's sign"
	case len(clean) > 1 && clean[1] == ':':
		return "begins with a drive's letter"
	case strings.HasPrefix(clean, "%") && strings.Contains(clean, `%\`):
		return "begins with a variable"
	case strings.ContainsRune(clean, 0):
		return "contains a NUL"
	}
	for part := range strings.FieldsFuncSeq(clean, func(r rune) bool { return r == '/' || r == '\\' }) {
		if part == ".." {
			return "leads upward"
		}
	}
	return ""
}

// unsafeInPayload is unsafeIn for paths that must lie in the payload.
func unsafeInPayload(p string) string {
	if why := unsafeIn(p); why != "" {
		return why
	}
	if clean := path.Clean(p); !strings.HasPrefix(clean, payload) {
		return "is not below data/"
	}
	return ""
}

// fold gives equal texts for paths that some file systems take for one: they
// differ in letter case or in Unicode normalisation only (RFC 8493, section
// 6.1).
func fold(p string) string { return strings.ToLower(norm.NFC.String(p)) }

// isSystemFile names files that file managers make and remove unasked.
func isSystemFile(p string) bool {
	switch strings.ToLower(path.Base(p)) {
	case ".ds_store", "thumbs.db", "desktop.ini":
		return true
	}
	return strings.HasPrefix(path.Base(p), "._")
}

var (
	encoder = strings.NewReplacer("%", "%25", "\r", "%0D", "\n", "%0A")
	decoder = strings.NewReplacer("%25", "%", "%0D", "\r", "%0d", "\r", "%0A", "\n", "%0a", "\n")
)

// encodePath writes a path as a manifest of version 1.0 does: percent sign, CR
// and LF are percent-encoded, nothing else.
func encodePath(p string) string { return encoder.Replace(p) }

// decodePath is the inverse of encodePath. plain says that the path holds a
// percent sign that encodes nothing.
func decodePath(p string) (decoded string, plain bool) {
	decoded = decoder.Replace(p)
	return decoded, strings.Count(p, "%") > strings.Count(p, "%25")+strings.Count(strings.ToUpper(p), "%0D")+strings.Count(strings.ToUpper(p), "%0A")
}
