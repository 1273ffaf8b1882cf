package pack

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// maxDepth bounds how deep canonical JSON may be nested.
const maxDepth = 500

// Canonical brings JSON into the form of the JSON Canonicalization Scheme (RFC
// 8785): no white space, members sorted by their names' UTF-16 code units,
// numbers as ECMAScript prints them, the least escapes in strings. Two parties
// then get the same bytes, and the same hash, from the same facts.
//
// It fails on what I-JSON (RFC 7493) forbids: a name twice in one object, half
// a surrogate pair, bytes that are not UTF-8, a number beyond IEEE 754 doubles.
func Canonical(data []byte) ([]byte, error) {
	if !json.Valid(data) {
		return nil, errors.New("not JSON")
	}
	if !utf8.Valid(data) {
		return nil, errors.New("not UTF-8")
	}
	c := &canonicaler{data: data}
	return c.value(make([]byte, 0, len(data)), 0)
}

// canonicaler walks over JSON that is known to be well formed.
type canonicaler struct {
	data []byte
	at   int
}

// next skips white space and gives the byte that follows.
func (c *canonicaler) next() byte {
	for strings.IndexByte(" \t\r\n", c.data[c.at]) >= 0 {
		c.at++
	}
	return c.data[c.at]
}

// value appends the next value to dst.
func (c *canonicaler) value(dst []byte, depth int) ([]byte, error) {
	if depth > maxDepth {
		return nil, fmt.Errorf("nested deeper than %d", maxDepth)
	}
	switch c.next() {
	case '{':
		return c.object(dst, depth)
	case '[':
		return c.array(dst, depth)
	case '"':
		s, err := c.text()
		return appendText(dst, s), err
	case 't', 'n':
		c.at += 4
		return append(dst, c.data[c.at-4:c.at]...), nil
	case 'f':
		c.at += 5
		return append(dst, "false"...), nil
	}
	return c.number(dst)
}

func (c *canonicaler) array(dst []byte, depth int) (_ []byte, err error) {
	c.at++
	dst = append(dst, '[')
	for first := true; c.next() != ']'; first = false {
		if !first {
			c.at++ // the comma
			dst = append(dst, ',')
		}
		if dst, err = c.value(dst, depth+1); err != nil {
			return nil, err
		}
	}
	c.at++
	return append(dst, ']'), nil
}

type member struct {
	name  string
	units []uint16
	value []byte
}

func (c *canonicaler) object(dst []byte, depth int) ([]byte, error) {
	c.at++
	var members []member
	for c.next() != '}' {
		if c.data[c.at] == ',' {
			c.at++
			c.next()
		}
		name, err := c.text()
		if err != nil {
			return nil, err
		}
		c.next()
		c.at++ // the colon
		value, err := c.value(nil, depth+1)
		if err != nil {
			return nil, err
		}
		members = append(members, member{name, utf16.Encode([]rune(name)), value})
	}
	c.at++
	slices.SortFunc(members, func(a, b member) int { return slices.Compare(a.units, b.units) })
	dst = append(dst, '{')
	for i, m := range members {
		if i > 0 {
			if m.name == members[i-1].name {
				return nil, fmt.Errorf("the name %q stands twice in one object", m.name)
			}
			dst = append(dst, ',')
		}
		dst = append(appendText(dst, m.name), ':')
		dst = append(dst, m.value...)
	}
	return append(dst, '}'), nil
}

// text reads a string.
func (c *canonicaler) text() (string, error) {
	c.at++
	var b strings.Builder
	for {
		switch ch := c.data[c.at]; ch {
		case '"':
			c.at++
			return b.String(), nil
		case '\\':
			r, err := c.escape()
			if err != nil {
				return "", err
			}
			b.WriteRune(r)
		default:
			b.WriteByte(ch)
			c.at++
		}
	}
}

const escaped, plain = `"\/bfnrt`, "\"\\/\b\f\n\r\t"

// escape reads a backslash and what it stands for.
func (c *canonicaler) escape() (rune, error) {
	if i := strings.IndexByte(escaped, c.data[c.at+1]); i >= 0 {
		c.at += 2
		return rune(plain[i]), nil
	}
	r := c.unit()
	if !utf16.IsSurrogate(r) {
		return r, nil
	}
	if c.data[c.at] == '\\' && c.data[c.at+1] == 'u' {
		if r = utf16.DecodeRune(r, c.unit()); r != utf8.RuneError {
			return r, nil
		}
	}
	return 0, errors.New("a string has half of a surrogate pair")
}

// unit reads \uXXXX, whose digits are known to be there.
func (c *canonicaler) unit() rune {
	n, _ := strconv.ParseUint(string(c.data[c.at+2:c.at+6]), 16, 16)
	c.at += 6
	return rune(n)
}

func appendText(dst []byte, s string) []byte {
	dst = append(dst, '"')
	for i := range len(s) {
		ch := s[i]
		if at := strings.IndexByte(plain, ch); at >= 0 && ch != '/' {
			dst = append(dst, '\\', escaped[at])
		} else if ch < ' ' {
			dst = fmt.Appendf(dst, `\u%04x`, ch)
		} else {
			dst = append(dst, ch)
		}
	}
	return append(dst, '"')
}

func (c *canonicaler) number(dst []byte) ([]byte, error) {
	start := c.at
	for c.at < len(c.data) && strings.IndexByte("+-.0123456789eE", c.data[c.at]) >= 0 {
		c.at++
	}
	text := string(c.data[start:c.at])
	f, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return nil, fmt.Errorf("the number %s is beyond IEEE 754 doubles", text)
	}
	return appendNumber(dst, f), nil
}

// appendNumber prints a finite number as ECMAScript's Number::toString does:
// the fewest digits that give the number back, an exponent only from 1e21 on
// and below 1e-6.
func appendNumber(dst []byte, f float64) []byte {
	if f == 0 {
		return append(dst, '0') // also for -0
	}
	if size := math.Abs(f); size >= 1e-6 && size < 1e21 {
		return strconv.AppendFloat(dst, f, 'f', -1, 64)
	}
	mantissa, exponent, _ := strings.Cut(strconv.FormatFloat(f, 'e', -1, 64), "e")
	return append(dst, mantissa+"e"+exponent[:1]+strings.TrimLeft(exponent[1:], "0")...)
}
