// Package strict decodes settings files so that a mistake in one is met with
// its line and column, never with a default.
package strict

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Error is one mistake in a settings file.
type Error struct {
	File   string
	Line   int // 1-based
	Column int // 1-based, in runes
	Reason string
	Source string // the line as it stands
}

// Error prints the place, the reason, the line and a caret below the place.
func (e Error) Error() string {
	s := fmt.Sprintf("%s:%d:%d: %s", e.File, e.Line, e.Column, e.Reason)
	if e.Source != "" {
		s += "\n\t" + strings.ReplaceAll(e.Source, "\t", " ") + "\n\t" + strings.Repeat(" ", max(e.Column-1, 0)) + "^"
	}
	return s
}

// At makes an Error at a place of data.
func At(file string, data []byte, line, column int, reason string) Error {
	return Error{File: file, Line: line, Column: max(column, 1), Reason: reason, Source: sourceLine(data, line)}
}

// Limit is the size in bytes above which a settings file is refused.
const Limit = 16 << 20

var numbered = regexp.MustCompile(`(?s)^(?:yaml: )?line (\d+): (.*)$`)

// YAML decodes one YAML document into v, a pointer to a struct. Unknown keys,
// wrong types, a second document, an empty file and a file above Limit are
// errors; all of them are returned, joined.
func YAML(file string, data []byte, v any) error {
	if len(data) > Limit {
		return fmt.Errorf("%s: larger than %d bytes", file, Limit)
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	d := yaml.NewDecoder(bytes.NewReader(data))
	d.KnownFields(true)
	err := d.Decode(v)
	if errors.Is(err, io.EOF) {
		return At(file, data, 1, 1, "the file is empty")
	}
	if err != nil {
		var list *yaml.TypeError
		if errors.As(err, &list) {
			var all []error
			for _, text := range list.Errors {
				all = append(all, locate(file, data, text))
			}
			return errors.Join(all...)
		}
		return locate(file, data, err.Error())
	}
	var second yaml.Node
	if err := d.Decode(&second); err == nil {
		return At(file, data, second.Line, 1, "a second document; a settings file holds one")
	} else if !errors.Is(err, io.EOF) {
		return locate(file, data, err.Error())
	}
	return nil
}

var (
	unknownKey = regexp.MustCompile(`^field (\S+) not found in type .+$`)
	wrongType  = regexp.MustCompile("^cannot unmarshal !!(\\S+)(?: `(.*)`)? into (.+)$")
	doubledKey = regexp.MustCompile(`^mapping key "(.*)" already defined at line (\d+)$`)
)

// locate turns the decoder's message, which names a line only, into an Error
// with the column of the text that the message quotes.
func locate(file string, data []byte, text string) Error {
	m := numbered.FindStringSubmatch(text)
	if m == nil {
		return At(file, data, 1, 1, strings.TrimPrefix(text, "yaml: "))
	}
	line, _ := strconv.Atoi(m[1])
	reason, quoted := m[2], ""
	switch {
	case unknownKey.MatchString(reason):
		quoted = unknownKey.FindStringSubmatch(reason)[1]
		reason = fmt.Sprintf("unknown key %q", quoted)
	case wrongType.MatchString(reason):
		p := wrongType.FindStringSubmatch(reason)
		quoted = strings.TrimSuffix(p[2], "...")
		reason = fmt.Sprintf("%q cannot stand here: a value of kind %s is wanted", p[2], kind(p[3]))
		if p[2] == "" {
			reason = fmt.Sprintf("a value of kind %s is wanted here", kind(p[3]))
		}
	case doubledKey.MatchString(reason):
		p := doubledKey.FindStringSubmatch(reason)
		quoted = p[1]
		reason = fmt.Sprintf("%q stands here twice, first on line %s", p[1], p[2])
	}
	source := sourceLine(data, line)
	column := len([]rune(source)) - len([]rune(strings.TrimLeft(source, " "))) + 1
	if i := strings.Index(source, quoted); quoted != "" && i >= 0 {
		column = len([]rune(source[:i])) + 1
	}
	return At(file, data, line, column, reason)
}

// kind says in words what a Go type takes.
func kind(goType string) string {
	switch {
	case strings.HasPrefix(goType, "[]"):
		return "list"
	case strings.HasPrefix(goType, "map") || strings.HasPrefix(goType, "struct") || strings.Contains(goType, "."):
		return "mapping"
	case strings.HasPrefix(goType, "int") || strings.HasPrefix(goType, "float"):
		return "number"
	case goType == "bool":
		return "true or false"
	}
	return "text"
}

func sourceLine(data []byte, line int) string {
	for ; line > 1; line-- {
		i := bytes.IndexByte(data, '\n')
		if i < 0 {
			return ""
		}
		data = data[i+1:]
	}
	if i := bytes.IndexByte(data, '\n'); i >= 0 {
		data = data[:i]
	}
	return strings.TrimSuffix(string(data), "\r")
}
