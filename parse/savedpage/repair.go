package savedpage

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/net/html"
)

// Bounds of one block of JSON.
const (
	maxJSON      = 4 << 20 // bytes
	maxJSONDepth = 64
)

var (
	errDepth   = errors.New("nested deeper than 64")
	errNotJSON = errors.New("not JSON, and what is meant is not clear")
)

// parseJSON reads every value of a block. The second result says what had to
// be mended, "" when the block was sound.
//
// Mended is only what can be meant in one way: comments, CDATA and HTML
// comment marks around the block, a block written in HTML entities, raw
// control characters in strings, escapes that JSON does not know, a quotation
// mark inside a string that no comma, colon or bracket follows, surplus and
// lacking commas, single quotation marks, bare keys, several values in a row,
// and brackets left open at the end.
func parseJSON(text string) (values []any, mended string, err error) {
	if len(text) > maxJSON {
		return nil, "", errTooLarge
	}
	if values, err = strictJSON(text); err == nil || errors.Is(err, errDepth) {
		return values, "", err
	}
	if !strings.Contains(text, `"`) && strings.Contains(text, "&quot;") {
		text = html.UnescapeString(text)
	}
	m := mender{s: text}
	for m.space(); m.at < len(m.s); m.space() {
		if strings.IndexByte(",;)", m.s[m.at]) >= 0 {
			m.at++
			continue
		}
		if c := m.s[m.at]; c != '{' && c != '[' {
			return nil, "", errNotJSON
		}
		v, err := m.value(0)
		if err != nil {
			return nil, "", err
		}
		values = append(values, v)
	}
	if len(values) == 0 {
		return nil, "", errNotJSON
	}
	return values, "the JSON is damaged and was mended", nil
}

func strictJSON(text string) ([]any, error) {
	if deeper(text, maxJSONDepth) {
		return nil, errDepth
	}
	d := json.NewDecoder(strings.NewReader(text))
	d.UseNumber()
	var v any
	if err := d.Decode(&v); err != nil {
		return nil, err
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return nil, errNotJSON
	}
	return []any{v}, nil
}

// deeper reports whether brackets outside strings nest deeper than n.
func deeper(s string, n int) bool {
	depth, quoted := 0, false
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case quoted && c == '\\':
			i++
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '{' || c == '[':
			if depth++; depth > n {
				return true
			}
		case c == '}' || c == ']':
			depth--
		}
	}
	return false
}

// mender is a tolerant reader of JSON.
type mender struct {
	s  string
	at int
}

var around = []string{"<![CDATA[", "]]>", "<!--", "-->", "\ufeff", "\u00a0"}

// space skips white space, comments and marks that stand around a block.
func (m *mender) space() {
next:
	for m.at < len(m.s) {
		rest := m.s[m.at:]
		switch c := rest[0]; {
		case c <= ' ':
			m.at++
			continue
		case strings.HasPrefix(rest, "//"):
			m.skipPast("\n")
			continue
		case strings.HasPrefix(rest, "/*"):
			m.skipPast("*/")
			continue
		}
		for _, a := range around {
			if strings.HasPrefix(rest, a) {
				m.at += len(a)
				continue next
			}
		}
		return
	}
}

func (m *mender) skipPast(end string) {
	line := m.s[m.at:]
	i := strings.Index(line, end)
	if i < 0 {
		m.at = len(m.s)
		return
	}
	// "//<![CDATA[ {" on one line: the mark ends the comment.
	if j := strings.Index(line[:i], "<![CDATA["); end == "\n" && j >= 0 {
		m.at += j + len("<![CDATA[")
		return
	}
	m.at += i + len(end)
}

func (m *mender) value(depth int) (any, error) {
	if depth > maxJSONDepth {
		return nil, errDepth
	}
	if m.space(); m.at >= len(m.s) {
		return nil, nil
	}
	switch c := m.s[m.at]; c {
	case '{':
		return m.object(depth)
	case '[':
		return m.array(depth)
	case '"', '\'':
		return m.text(c), nil
	}
	return m.scalar()
}

func (m *mender) object(depth int) (any, error) {
	out := map[string]any{}
	for m.at++; ; {
		m.space()
		switch {
		case m.at >= len(m.s):
			return out, nil
		case m.s[m.at] == '}':
			m.at++
			return out, nil
		case m.s[m.at] == ',' || m.s[m.at] == ';':
			m.at++
			continue
		case m.s[m.at] == ']':
			return nil, errNotJSON
		}
		key, ok := m.key()
		if !ok {
			return nil, errNotJSON
		}
		if m.space(); m.at >= len(m.s) {
			return out, nil
		}
		if m.s[m.at] != ':' {
			return nil, errNotJSON
		}
		m.at++
		v, err := m.value(depth + 1)
		if err != nil {
			return nil, err
		}
		out[key] = v
	}
}

func (m *mender) key() (string, bool) {
	if c := m.s[m.at]; c == '"' || c == '\'' {
		return m.text(c), true
	}
	start := m.at
	for m.at < len(m.s) && isWord(m.s[m.at]) {
		m.at++
	}
	return m.s[start:m.at], m.at > start
}

func isWord(c byte) bool {
	return c == '_' || c == '$' || c == '@' || c == '-' || c == '.' || c == '+' ||
		'0' <= c && c <= '9' || 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z'
}

func (m *mender) array(depth int) (any, error) {
	out := []any{}
	for m.at++; ; {
		m.space()
		switch {
		case m.at >= len(m.s):
			return out, nil
		case m.s[m.at] == ']':
			m.at++
			return out, nil
		case m.s[m.at] == ',':
			m.at++
			continue
		case m.s[m.at] == '}' || m.s[m.at] == ':':
			return nil, errNotJSON
		}
		v, err := m.value(depth + 1)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
}

// scalar reads a number or a bare word.
func (m *mender) scalar() (any, error) {
	start := m.at
	for m.at < len(m.s) && isWord(m.s[m.at]) {
		m.at++
	}
	switch w := m.s[start:m.at]; w {
	case "":
		if c := m.s[m.at]; c == ',' || c == '}' { // "sku": ,
			return nil, nil
		}
		return nil, errNotJSON
	case "null", "undefined", "NaN":
		return nil, nil
	case "true", "false":
		return w == "true", nil
	default:
		return w, nil // "12.50" or a bare word: text as it stands
	}
}

// text reads a string whose opening mark is at the current place.
func (m *mender) text(quote byte) string {
	var b bytes.Buffer
	for m.at++; m.at < len(m.s); m.at++ {
		c := m.s[m.at]
		switch {
		case c == quote && m.closes():
			m.at++
			return b.String()
		case c == '\\' && m.at+1 < len(m.s):
			m.at++
			m.escape(&b)
		default:
			b.WriteByte(c)
		}
	}
	return b.String()
}

// closes reports whether the quotation mark at the current place ends the
// string: what follows is a comma, a colon, a closing bracket or the end.
func (m *mender) closes() bool {
	rest := strings.TrimLeft(m.s[m.at+1:], " \t\r\n")
	return rest == "" || strings.IndexByte(",:}]/", rest[0]) >= 0 || rest[0] == '"' && strings.ContainsAny(m.s[m.at+1:m.at+2], "\r\n")
}

func (m *mender) escape(b *bytes.Buffer) {
	switch c := m.s[m.at]; c {
	case 'n', 'r', 't', 'b', 'f':
		b.WriteByte("\n\r\t\b\f"[strings.IndexByte("nrtbf", c)])
	case 'u':
		if m.at+5 <= len(m.s) {
			var s string
			if json.Unmarshal([]byte(`"\u`+m.s[m.at+1:m.at+5]+`"`), &s) == nil {
				b.WriteString(s)
				m.at += 4
				return
			}
		}
		b.WriteByte(c)
	default:
		if c < utf8.RuneSelf {
			b.WriteByte(c)
		} else {
			b.WriteString(string([]byte{c}))
		}
	}
}
