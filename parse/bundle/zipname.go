package bundle

import (
	"encoding/binary"
	"hash/crc32"
	"net/url"
	"path"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// zipName decodes a member's name. APPNOTE.TXT 4.6.9 puts a UTF-8 name into
// extra field 0x7075 when the name itself is in an old encoding; without it
// appendix D says IBM code page 437.
func zipName(name string, notUTF8 bool, extra []byte) string {
	if !notUTF8 {
		return name
	}
	for len(extra) >= 4 {
		id, n := binary.LittleEndian.Uint16(extra), int(binary.LittleEndian.Uint16(extra[2:]))
		if 4+n > len(extra) {
			break
		}
		field := extra[4 : 4+n]
		extra = extra[4+n:]
		if id == 0x7075 && n > 5 && field[0] == 1 && binary.LittleEndian.Uint32(field[1:]) == crc32.ChecksumIEEE([]byte(name)) && utf8.Valid(field[5:]) {
			return string(field[5:])
		}
	}
	if utf8.ValidString(name) {
		return name
	}
	out, err := charmap.CodePage437.NewDecoder().String(name)
	if err != nil {
		return strings.ToValidUTF8(name, "\ufffd")
	}
	return out
}

// checkPath refuses names that lead out of the archive on any system.
func checkPath(name string) error {
	outside := hinted{"its path leads out of the archive", "unpack it only if you trust where it comes from"}
	switch {
	case name == "":
		return hinted{"it has no name", ""}
	case strings.ContainsRune(name, 0):
		return hinted{"its path contains a NUL character", ""}
	case strings.Contains(name, `\`):
		return hinted{"its path contains a backslash, which some systems take for a folder", "pack it again with forward slashes"}
	case strings.HasPrefix(name, "/"), len(name) > 1 && name[1] == ':' && unicode.IsLetter(rune(name[0])):
		return outside
	case !utf8.ValidString(name):
		return hinted{"its path is not valid text", ""}
	case path.Clean(name) != name:
		for _, part := range strings.Split(name, "/") {
			if part == ".." {
				return outside
			}
		}
		return hinted{"its path has empty or dot parts", "pack it again"}
	case name == ".." || strings.HasPrefix(name, "../"):
		return outside
	}
	return nil
}

// printable makes a text of the container fit for a report.
func printable(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return '\ufffd'
		}
		return r
	}, strings.ToValidUTF8(name, "\ufffd"))
}

// below joins a reference with the folder of the page that makes it.
func below(dir, ref string) (string, error) {
	scheme, _, hasScheme := strings.Cut(ref, ":")
	switch {
	case strings.ContainsRune(ref, 0):
		return "", ErrOutside
	case hasScheme && IsScheme(scheme):
		if len(scheme) == 1 || strings.EqualFold(scheme, "file") {
			return "", ErrOutside
		}
		return "", ErrRemote
	case strings.HasPrefix(ref, "/"):
		return "", ErrRemote
	}
	full := path.Join(dir, ref)
	if full == ".." || strings.HasPrefix(full, "../") {
		return "", ErrOutside
	}
	return full, nil
}

// IsScheme tells whether a text may be the scheme of a URL (RFC 3986, 3.1).
func IsScheme(s string) bool {
	for i, c := range s {
		letter := c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
		if !letter && (i == 0 || !(c >= '0' && c <= '9' || c == '+' || c == '-' || c == '.')) {
			return false
		}
	}
	return s != ""
}

func unescaped(s string) string {
	if plain, err := url.PathUnescape(s); err == nil {
		return strings.ReplaceAll(plain, `\`, "/")
	}
	return s
}
