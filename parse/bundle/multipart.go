package bundle

import (
	"bytes"
	"fmt"
	"strings"
)

// mhtmlPart is one leaf of the tree of parts, its body still encoded.
type mhtmlPart struct {
	h    header
	body []byte
	base string // Content-Base of the part or of what holds it
	cut  bool   // the file ends before the part's closing boundary
}

// partDepth bounds multiparts inside multiparts; browsers nest two.
const partDepth = 8

// parts takes multiparts (RFC 2046, 5.1) apart.
type parts struct {
	headerLimit int64
	limit       int
	leaves      []mhtmlPart
	notes       []string // what was not as it should be
	full        bool
}

func (p *parts) note(format string, args ...any) {
	if len(p.notes) < problemLimit {
		p.notes = append(p.notes, fmt.Sprintf(format, args...))
	}
}

// walk adds the leaves of one part.
func (p *parts) walk(part mhtmlPart, depth int) {
	kind, params := part.h.mediaType()
	if base := part.h.get("content-base"); base != "" {
		part.base = base
	}
	if !strings.HasPrefix(kind, "multipart/") {
		if len(p.leaves) >= p.limit {
			p.full = true
			return
		}
		p.leaves = append(p.leaves, part)
		return
	}
	if depth >= partDepth {
		p.note("multiparts inside each other more than %d deep; the inner ones are not read", partDepth)
		return
	}
	boundary := params["boundary"]
	if boundary == "" {
		if boundary = guessBoundary(part.body); boundary == "" {
			p.note("a multipart without a boundary; what follows its header is read as one part")
			p.inner(part, bytes.TrimLeft(part.body, "\r\n"), true, depth)
			return
		}
		p.note("the boundary is not stated; the first line that looks like one is taken")
	}
	bodies, closed := split(part.body, boundary, p.limit+1)
	if len(bodies) == 0 {
		p.note("no boundary line; what follows the header is read as one part")
		p.inner(part, bytes.TrimLeft(part.body, "\r\n"), true, depth)
		return
	}
	if !closed {
		p.note("the file ends before the closing boundary; the last part may be cut off")
	}
	for i, body := range bodies {
		if p.full {
			return
		}
		p.inner(part, body, !closed && i == len(bodies)-1, depth)
	}
}

// inner reads the header of a part's message and goes on with it.
func (p *parts) inner(outer mhtmlPart, message []byte, cut bool, depth int) {
	h, body, err := bodyHeader(message, p.headerLimit, true)
	if err == errHeaderSize {
		p.note("a part's header lines do not end within the limit; the part is not read")
		return
	}
	p.walk(mhtmlPart{h: h, body: body, base: outer.base, cut: cut || outer.cut}, depth+1)
}

// split cuts a multipart's body at its boundary lines, into at most limit
// parts. The line end before a boundary belongs to the boundary.
func split(body []byte, boundary string, limit int) (bodies [][]byte, closed bool) {
	delim := []byte("--" + boundary)
	start := -1
	for at := 0; at < len(body); {
		i := bytes.Index(body[at:], delim)
		if i < 0 {
			break
		}
		i += at
		at = i + len(delim)
		if i > 0 && body[i-1] != '\n' {
			continue
		}
		rest := body[at:]
		closing := bytes.HasPrefix(rest, []byte("--"))
		if closing {
			rest = rest[2:]
		}
		line, _, _ := bytes.Cut(rest, []byte("\n"))
		if len(bytes.Trim(line, " \t\r")) > 0 {
			continue // a longer boundary that begins alike
		}
		if start >= 0 {
			bodies = append(bodies, body[start:max(start, lineEndBefore(body, i))])
		}
		if closing || len(bodies) == limit {
			return bodies, start >= 0
		}
		start = min(len(body), len(body)-len(rest)+len(line)+1)
		at = start
	}
	if start >= 0 {
		bodies = append(bodies, body[start:])
	}
	return bodies, false
}

func lineEndBefore(body []byte, i int) int {
	if i > 0 && body[i-1] == '\n' {
		i--
	}
	if i > 0 && body[i-1] == '\r' {
		i--
	}
	return i
}

// guessBoundary takes the first line of a body that begins with two hyphens
// and is followed by a header line.
func guessBoundary(body []byte) string {
	const look = 64 << 10
	body = body[:min(len(body), look)]
	for len(body) > 0 {
		var line []byte
		line, body, _ = bytes.Cut(body, []byte("\n"))
		line = bytes.TrimRight(line, " \t\r")
		if len(line) > 2 && len(line) <= 80 && bytes.HasPrefix(line, []byte("--")) && bytes.HasPrefix(bytes.ToLower(body), []byte("content-")) {
			return string(line[2:])
		}
	}
	return ""
}
