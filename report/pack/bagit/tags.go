package bagit

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/ianaindex"
)

// tagLimit bounds a tag file, in bytes. A manifest of a million files with
// SHA-512 has about 200 MB.
const tagLimit = 512 << 20

// version is the number of a BagIt version: 97 for 0.97, 100 for 1.0.
type version int

// strict is the version of the RFC, whose demands are stricter than those of
// the drafts.
const strict version = 100

// declaration is what bagit.txt says.
type declaration struct {
	version  version
	text     string // as written
	encoding string
}

var (
	versionLine  = regexp.MustCompile(`^BagIt-Version: (\d{1,3})\.(\d{1,3})([ \t]*)$`)
	encodingLine = regexp.MustCompile(`^Tag-File-Character-Encoding: (\S+)([ \t]*)$`)
	looseVersion = regexp.MustCompile(`^BagIt-Version\s*:\s*(\d{1,3})\.(\d{1,3})([ \t]*)$`)
	looseCoding  = regexp.MustCompile(`^Tag-File-Character-Encoding\s*:\s*(\S+)([ \t]*)$`)
)

// readDeclaration reads bagit.txt, which is UTF-8 in every bag.
func readDeclaration(fsys fs.FS) (*declaration, []string, error) {
	const name = "bagit.txt"
	data, err := readTag(fsys, name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil, invalid(name, 0, "the file does not exist, so this is no bag")
	case err != nil:
		return nil, nil, err
	case bytes.HasPrefix(data, bom):
		return nil, nil, invalid(name, 0, "begins with a byte order mark")
	case !utf8.Valid(data):
		return nil, nil, invalid(name, 0, "is not UTF-8")
	}
	lines := splitLines(string(data))
	if len(lines) != 2 {
		return nil, nil, invalid(name, 0, "has %d lines instead of two, the version and the encoding", len(lines))
	}
	m := looseVersion.FindStringSubmatch(lines[0])
	if m == nil {
		return nil, nil, invalid(name, 1, "%q is not 'BagIt-Version: M.N'", lines[0])
	}
	major, _ := strconv.Atoi(m[1])
	minor, _ := strconv.Atoi(m[2])
	d := &declaration{text: m[1] + "." + m[2]}
	if d.version, err = versionOf(major, minor); err != nil {
		return nil, nil, err
	}
	c := looseCoding.FindStringSubmatch(lines[1])
	if c == nil {
		return nil, nil, invalid(name, 2, "%q is not 'Tag-File-Character-Encoding: NAME'", lines[1])
	}
	d.encoding = c[1]
	if d.version >= strict && (!versionLine.MatchString(lines[0]) || !encodingLine.MatchString(lines[1])) {
		return nil, nil, invalid(name, 0, "must have no blank before the colon and one after it")
	}
	var warnings []string
	if m[3] != "" || c[2] != "" {
		warnings = append(warnings, "bagit.txt: a line ends in blanks")
	}
	return d, warnings, nil
}

func versionOf(major, minor int) (version, error) {
	switch {
	case major == 0 && minor >= 93 && minor <= 97:
		return version(minor), nil
	case major == 1 && minor == 0:
		return strict, nil
	}
	return 0, invalid("bagit.txt", 1, "version %d.%d is not known; 0.93 to 0.97 and 1.0 are", major, minor)
}

var bom = []byte("\xef\xbb\xbf")

// readTag reads a tag file whole.
func readTag(fsys fs.FS, name string) ([]byte, error) {
	f, err := fsys.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, tagLimit+1))
	if err == nil && len(data) > tagLimit {
		return nil, invalid(name, 0, "is larger than %d MiB", tagLimit>>20)
	}
	return data, err
}

// decode gives the text of a tag file in the bag's encoding.
func (d *declaration) decode(name string, data []byte) (string, error) {
	if strings.EqualFold(d.encoding, "UTF-8") {
		if !utf8.Valid(data) {
			return "", invalid(name, 0, "is not UTF-8, as bagit.txt says")
		}
		return string(bytes.TrimPrefix(data, bom)), nil
	}
	enc, err := ianaindex.IANA.Encoding(d.encoding)
	if err != nil || enc == nil {
		return "", invalid("bagit.txt", 2, "the encoding %q is not known", d.encoding)
	}
	text, err := enc.NewDecoder().Bytes(data)
	if err != nil {
		return "", invalid(name, 0, "is not %s, as bagit.txt says", d.encoding)
	}
	return string(text), nil
}

// splitLines cuts text at LF, CR and CRLF; a line end at the end of the text
// begins no further line.
func splitLines(text string) []string {
	var lines []string
	for text != "" {
		i := strings.IndexAny(text, "\r\n")
		if i < 0 {
			return append(lines, text)
		}
		lines = append(lines, text[:i])
		if strings.HasPrefix(text[i:], "\r\n") {
			i++
		}
		text = text[i+1:]
	}
	return lines
}

// Field is one line of bag-info.txt.
type Field struct{ Name, Value string }

// parseInfo reads bag-info.txt. A line that begins with a blank continues the
// one above.
func parseInfo(name, text string, v version) ([]Field, error) {
	var fields []Field
	for i, line := range splitLines(text) {
		if line == "" {
			continue
		}
		if line[0] == ' ' || line[0] == '\t' {
			if len(fields) == 0 {
				return nil, invalid(name, i+1, "continues a line that does not exist")
			}
			fields[len(fields)-1].Value += " " + strings.TrimSpace(line)
			continue
		}
		label, value, ok := strings.Cut(line, ":")
		if !ok {
			return nil, invalid(name, i+1, "has no colon")
		}
		if v >= strict && strings.TrimRight(label, " \t") != label {
			return nil, invalid(name, i+1, "has a blank before the colon")
		}
		fields = append(fields, Field{strings.TrimSpace(label), strings.TrimSpace(value)})
	}
	return fields, nil
}

// formatInfo writes bag-info.txt. Values become one line each.
func formatInfo(fields []Field) string {
	var b strings.Builder
	for _, f := range fields {
		fmt.Fprintf(&b, "%s: %s\n", f.Name, oneLine(f.Value))
	}
	return b.String()
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// oxum reads a Payload-Oxum: bytes, a dot, files.
func oxum(s string) (bytes int64, files int64, ok bool) {
	a, b, ok := strings.Cut(s, ".")
	bytes, errA := strconv.ParseInt(a, 10, 64)
	files, errB := strconv.ParseInt(b, 10, 64)
	return bytes, files, ok && errA == nil && errB == nil && bytes >= 0 && files >= 0
}
