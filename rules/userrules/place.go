package userrules

import (
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"
)

// scalar is a YAML text with its place.
type scalar struct {
	Value        string
	Line, Column int // of its first character in the file; 0 when it is absent
	style        yaml.Style
}

// UnmarshalYAML takes any scalar as a text.
func (s *scalar) UnmarshalYAML(n *yaml.Node) error {
	if n.Kind != yaml.ScalarNode {
		return wrongKind(n, "string")
	}
	*s = scalar{Value: n.Value, Line: n.Line, Column: n.Column, style: n.Style}
	return nil
}

// wrongKind is the decoder's own message for a value of another kind.
func wrongKind(n *yaml.Node, goType string) error {
	return &yaml.TypeError{Errors: []string{fmt.Sprintf("line %d: cannot unmarshal %s `%s` into %s", n.Line, n.ShortTag(), n.Value, goType)}}
}

// entry is one pair of a mapping.
type entry struct{ key, value scalar }

// pairs is a mapping in the order of the file, doubled keys included.
type pairs []entry

// UnmarshalYAML takes a mapping of scalars.
func (p *pairs) UnmarshalYAML(n *yaml.Node) error {
	if n.Kind != yaml.MappingNode {
		return wrongKind(n, "map[string]float64")
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		var e entry
		if err := e.key.UnmarshalYAML(n.Content[i]); err != nil {
			return err
		}
		if err := e.value.UnmarshalYAML(n.Content[i+1]); err != nil {
			return err
		}
		*p = append(*p, e)
	}
	return nil
}

// place finds where in the file the rune of the scalar with the given number
// stands. It follows the decoded text through the source, across quotes,
// escapes and folded lines. Where it loses the way, which takes a tag or an
// anchor before the text, the place is the scalar's own.
func (s *scalar) place(data []byte, number int) (line, column int) {
	src := newCursor(data, s.Line, s.Column)
	switch {
	case s.style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		src.nextLine()
	case s.style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0:
		src.step()
	}
	at := 0
	for _, want := range s.Value {
		space := isSpace(want)
		if !space {
			src.skipSpace(s.style&yaml.DoubleQuotedStyle != 0)
		}
		if at == number {
			return src.line, src.column
		}
		if !src.pass(want, space, s.style) {
			return s.Line, s.Column
		}
		at++
	}
	return src.line, src.column
}

// cursor is a place in a file.
type cursor struct {
	rest         []rune
	line, column int
}

func newCursor(data []byte, line, column int) *cursor {
	text := string(data)
	for n := 1; n < line; n++ {
		_, text, _ = strings.Cut(text, "\n")
	}
	c := &cursor{rest: []rune(text), line: line, column: 1}
	for c.column < column && len(c.rest) > 0 {
		c.step()
	}
	return c
}

func (c *cursor) step() {
	if len(c.rest) == 0 {
		return
	}
	c.column++
	if c.rest[0] == '\n' {
		c.line, c.column = c.line+1, 1
	}
	c.rest = c.rest[1:]
}

func (c *cursor) nextLine() {
	for n := c.line; c.line == n && len(c.rest) > 0; {
		c.step()
	}
}

// skipSpace passes blanks that folding took out of the text, and in double
// quotes a line break behind a backslash.
func (c *cursor) skipSpace(escapes bool) {
	for len(c.rest) > 0 {
		switch {
		case isSpace(c.rest[0]):
			c.step()
		case escapes && c.rest[0] == '\\' && len(c.rest) > 1 && (c.rest[1] == '\n' || c.rest[1] == '\r'):
			c.step()
			c.step()
		default:
			return
		}
	}
}

// pass moves over what stands for one rune of the text.
func (c *cursor) pass(want rune, space bool, style yaml.Style) bool {
	if len(c.rest) == 0 {
		return space
	}
	got := c.rest[0]
	switch {
	case style&yaml.DoubleQuotedStyle != 0 && got == '\\':
		for range escapeLength(c.rest) {
			c.step()
		}
	case got == want || space && isSpace(got):
		c.step()
		if style&yaml.SingleQuotedStyle != 0 && got == '\'' {
			c.step()
		}
	case !space:
		return false
	}
	return true
}

func escapeLength(s []rune) int {
	if len(s) < 2 {
		return len(s)
	}
	switch s[1] {
	case 'x':
		return min(4, len(s))
	case 'u':
		return min(6, len(s))
	case 'U':
		return min(10, len(s))
	}
	return 2
}

func isSpace(r rune) bool { return r == ' ' || r == '\t' || r == '\n' || r == '\r' }
