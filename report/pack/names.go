package pack

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path"
	"regexp"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

const (
	nameLimit = 100 // bytes of one name in a package
	pathLimit = 180 // bytes of one path in a package
	keyLimit  = 60  // bytes of a listing's key in a folder's name
)

// FolderName is the name of a listing's package: its key, with a hyphen for
// everything but ASCII letters, digits, dot, hyphen and underscore. Where that
// changes the key, or the key has small letters, which some file systems do not
// tell from capitals, the beginning of its SHA-256 follows: two keys never share
// a folder.
func FolderName(key string) string {
	safe := strings.Map(func(r rune) rune {
		if r < unicode.MaxASCII && (unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune("._-", r)) {
			return r
		}
		return '-'
	}, key)
	safe = strings.Trim(repeated.ReplaceAllString(safe, "-"), "-.")
	if len(safe) > keyLimit {
		safe = strings.TrimRight(safe[:keyLimit], "-.")
	}
	if safe == key && !isReserved(safe) && safe == strings.ToUpper(safe) && safe != "" {
		return safe
	}
	return strings.TrimLeft(safe+"-"+shortHash(key), "-")
}

var repeated = regexp.MustCompile(`-{2,}`)

func shortHash(s string) string {
	sum := sha256.Sum256([]byte(s))
	return hex.EncodeToString(sum[:4])
}

// reservedName matches what Windows keeps for devices.
var reservedName = regexp.MustCompile(`(?i)^(con|prn|aux|nul|com[0-9]|lpt[0-9])(\.|$)`)

func isReserved(name string) bool { return reservedName.MatchString(name) }

// cleanName makes a file name that every system and sha256sum can hold: no
// separators, no control or invisible characters, none that Windows forbids,
// no percent sign, which BagIt would encode.
func cleanName(name string) string {
	name = strings.Map(func(r rune) rune {
		switch {
		case r == unicode.ReplacementChar, unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp, unicode.Co),
			strings.ContainsRune(`<>:"/\|?*%~`, r):
			return '_'
		}
		return r
	}, norm.NFC.String(strings.ToValidUTF8(name, "_")))
	name = strings.Trim(name, " .")
	if name == "" || isReserved(name) {
		name = "_" + name
	}
	if len(name) <= nameLimit {
		return name
	}
	ext := path.Ext(name)
	if len(ext) > 10 {
		ext = ""
	}
	return strings.ToValidUTF8(name[:nameLimit-9-len(ext)], "") + "-" + shortHash(name) + ext
}

// cleanPath cleans every name of a path with forward slashes.
func cleanPath(p string) string {
	var parts []string
	for _, name := range strings.Split(p, "/") {
		if name != "" && name != "." && name != ".." {
			parts = append(parts, cleanName(name))
		}
	}
	clean := strings.Join(parts, "/")
	if len(clean) > pathLimit || clean == "" {
		clean = cleanName(shortHash(p) + "-" + path.Base("/"+clean))
	}
	return clean
}

// shelf hands out the paths of one package, no two of which any file system
// takes for one. It holds the folders of these paths too, marked false.
type shelf map[string]bool

func (s shelf) place(p string) string {
	if !s.take(path.Dir(p) + "/") { // a file has the folder's name
		p = path.Join("captures", shortHash(p)+"-"+path.Base(p))
	}
	ext := path.Ext(p)
	for n, try := 1, p; ; {
		if s.take(try) {
			return try
		}
		n++
		try = fmt.Sprintf("%s-%d%s", strings.TrimSuffix(p, ext), n, ext)
	}
}

// take takes a path, or with a slash at its end a folder, if it is free.
func (s shelf) take(p string) bool {
	folder := strings.HasSuffix(p, "/")
	key := strings.ToLower(norm.NFC.String(path.Clean(p)))
	if _, taken := s[key]; taken && !folder {
		return false
	}
	var dirs []string
	for dir := key; dir != "."; dir = path.Dir(dir) {
		if s[dir] {
			return false
		}
		if dir != key || folder {
			dirs = append(dirs, dir)
		}
	}
	for _, dir := range dirs {
		s[dir] = false
	}
	if !folder {
		s[key] = true
	}
	return true
}

// commonDir is the folder that all paths share, "" if there is none.
func commonDir(paths []string) string {
	if len(paths) == 0 {
		return ""
	}
	common := strings.Split(path.Dir(paths[0]), "/")
	for _, p := range paths[1:] {
		parts := strings.Split(path.Dir(p), "/")
		n := 0
		for n < len(common) && n < len(parts) && common[n] == parts[n] {
			n++
		}
		common = common[:n]
	}
	return strings.Join(common, "/")
}
