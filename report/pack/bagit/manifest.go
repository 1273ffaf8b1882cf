package bagit

import (
	"encoding/hex"
	"path"
	"regexp"
	"strconv"
	"strings"
)

// manifest is one manifest of payload or tag files.
type manifest struct {
	name      string // file name in the bag
	algorithm string
	tags      bool // it lists tag files
	entries   []entry
}

// entry is one line of a manifest.
type entry struct {
	line   int
	digest string // lower-case hex
	path   string // decoded and cleaned
}

var manifestName = regexp.MustCompile(`^(tag)?manifest-([A-Za-z0-9_-]+)\.txt$`)

// parseManifest reads the lines of a manifest. Warnings name what the format
// tolerates and people should not do.
func parseManifest(name, text string, v version) (m *manifest, warnings []string, err error) {
	parts := manifestName.FindStringSubmatch(name)
	if parts == nil {
		return nil, nil, invalid(name, 0, "is no manifest's name")
	}
	m = &manifest{name: name, tags: parts[1] != "", algorithm: algorithmOf(parts[2])}
	warn := warner{name: name, list: &warnings}
	for i, line := range splitLines(text) {
		if strings.TrimSpace(line) == "" {
			warn.once("has an empty line")
			continue
		}
		e, err := m.parseLine(line, v, &warn)
		if err != "" {
			return nil, nil, invalid(name, i+1, "%s", err)
		}
		e.line = i + 1
		m.entries = append(m.entries, e)
	}
	return m, warnings, nil
}

func (m *manifest) parseLine(line string, v version, warn *warner) (entry, string) {
	at := strings.IndexAny(line, " \t")
	if at <= 0 {
		return entry{}, "is not a checksum, white space and a path"
	}
	digest, p := strings.ToLower(line[:at]), strings.TrimLeft(line[at:], " \t")
	raw, err := hex.DecodeString(digest)
	if err != nil {
		return entry{}, "the checksum is not hexadecimal"
	}
	if alg := algorithms[m.algorithm]; alg != nil && len(raw) != alg().Size() {
		return entry{}, "the checksum has not the length of " + m.algorithm
	}
	if rest, ok := strings.CutPrefix(p, "*"); ok {
		warn.once("marks files as binary with an asterisk, as md5sum does")
		p = rest
	}
	if v >= strict {
		var plain bool
		if p, plain = decodePath(p); plain {
			warn.once("has a path with a percent sign that is not encoded")
		}
	}
	unsafe := unsafeInPayload
	if m.tags {
		unsafe = unsafeIn
	}
	if why := unsafe(p); why != "" {
		return entry{}, "the path " + strconv.Quote(p) + " " + why
	}
	clean := path.Clean(p)
	if strings.HasPrefix(p, "./") {
		warn.once("has a path that begins with ./")
	} else if clean != p {
		warn.once("has a path that is not in its shortest form")
	}
	switch {
	case m.tags && strings.HasPrefix(clean, payload):
		return entry{}, "a tag manifest must not list the payload file " + strconv.Quote(p)
	case m.tags && strings.HasPrefix(clean, "tagmanifest-"):
		return entry{}, "a tag manifest must not list a tag manifest"
	}
	return entry{digest: digest, path: clean}, ""
}

// mostWarnings bounds the warnings about one file.
const mostWarnings = 50

// warner notes each warning about one file once.
type warner struct {
	name string
	seen map[string]bool
	list *[]string
}

func (w *warner) once(text string) {
	if w.seen == nil {
		w.seen = map[string]bool{}
	}
	switch {
	case w.seen[text] || len(w.seen) > mostWarnings:
		return
	case len(w.seen) == mostWarnings:
		text = "further warnings are left out"
	}
	w.seen[text] = true
	*w.list = append(*w.list, visible(w.name)+": "+text)
}

// fetched is one line of fetch.txt: a payload file that is to be got from
// elsewhere. Nothing is ever fetched here.
type fetched struct {
	line int
	size int64 // -1 when not stated
	path string
}

const fetchName = "fetch.txt"

func parseFetch(text string, v version) ([]fetched, error) {
	var list []fetched
	for i, line := range splitLines(text) {
		if strings.TrimSpace(line) == "" {
			continue
		}
		address, rest := cutBlank(line)
		length, p := cutBlank(rest)
		if address == "" || p == "" {
			return nil, invalid(fetchName, i+1, "is not an address, a length and a path")
		}
		f := fetched{line: i + 1, size: -1}
		if length != "-" {
			n, err := strconv.ParseInt(length, 10, 64)
			if err != nil || n < 0 {
				return nil, invalid(fetchName, i+1, "the length %q is no number", length)
			}
			f.size = n
		}
		if v >= strict {
			p, _ = decodePath(p)
		}
		if why := unsafeInPayload(p); why != "" {
			return nil, invalid(fetchName, i+1, "the path %q %s", p, why)
		}
		f.path = path.Clean(p)
		list = append(list, f)
	}
	return list, nil
}

func cutBlank(s string) (before, after string) {
	at := strings.IndexAny(s, " \t")
	if at < 0 {
		return s, ""
	}
	return s[:at], strings.TrimLeft(s[at:], " \t")
}
