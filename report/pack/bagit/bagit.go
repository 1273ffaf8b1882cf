// Package bagit writes and checks bags: folders of files with manifests of
// their checksums, after RFC 8493 (BagIt 1.0) and its drafts from 0.93 on.
//
// write.go makes a bag of version 1.0, verify.go checks a bag of any version,
// tags.go reads bagit.txt and bag-info.txt, manifest.go manifests and
// fetch.txt, paths.go says which paths a bag may hold, fixity.go recomputes
// checksums.
//
// A bag shows accidental change. Whoever can rewrite a file can rewrite its
// manifests too (RFC 8493, section 5), so a bag's seal, the SHA-256 of
// tagmanifest-sha256.txt, is to be kept elsewhere.
package bagit

import (
	"crypto/md5"
	"crypto/sha1"
	"crypto/sha256"
	"crypto/sha512"
	"fmt"
	"hash"
	"strings"
)

// SealFile is the tag manifest whose SHA-256 is the seal of a bag: it covers
// the manifests, and these cover every file.
const SealFile = "tagmanifest-sha256.txt"

// algorithms are the checksums that can be recomputed, by their name in a
// manifest's file name.
var algorithms = map[string]func() hash.Hash{
	"md5": md5.New, "sha1": sha1.New, "sha224": sha256.New224, "sha256": sha256.New,
	"sha384": sha512.New384, "sha512": sha512.New,
}

// algorithmOf brings the name of an algorithm into the form of the RFC: lower
// case letters and digits only.
func algorithmOf(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			return r
		}
		return -1
	}, s)
}

// Invalid says where a bag first differs from what its manifests or the
// format demand.
type Invalid struct {
	File   string // path in the bag, or "" when it concerns the bag as a whole
	Line   int    // of a tag file, 0 when it concerns the whole file
	Reason string
}

func (e *Invalid) Error() string {
	switch {
	case e.File == "":
		return e.Reason
	case e.Line > 0:
		return fmt.Sprintf("%s, line %d: %s", visible(e.File), e.Line, e.Reason)
	}
	return visible(e.File) + ": " + e.Reason
}

func invalid(file string, line int, format string, args ...any) *Invalid {
	return &Invalid{file, line, fmt.Sprintf(format, args...)}
}

// visible quotes a path that would disturb a terminal.
func visible(path string) string {
	if q := fmt.Sprintf("%+q", path); strings.Contains(q, `\`) {
		return fmt.Sprintf("%q", path)
	}
	return path
}
