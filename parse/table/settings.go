package table

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"

	"go.yaml.in/yaml/v3"

	"counterfoil/parse/listing"
)

// NotAField is the word by which a columns file leaves a column out.
const NotAField = "none"

// ReadColumns reads the user's names of columns:
//
//	columns:
//	  "Preis brutto": price
//	  "Remarks": none
//
// The values are canonical field names, or "none" for a column that is not to
// be used. An error names the file, line and column, and shows the line; all
// errors of the file are given at once.
func ReadColumns(name string, data []byte) (map[string]listing.Name, error) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	s := settings{name: name, lines: strings.Split(string(data), "\n")}
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var doc yaml.Node
	if err := dec.Decode(&doc); err != nil {
		if errors.Is(err, io.EOF) {
			return nil, fmt.Errorf("%s: the file is empty", name)
		}
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	var second yaml.Node
	if err := dec.Decode(&second); !errors.Is(err, io.EOF) {
		return nil, fmt.Errorf("%s: more than one document", name)
	}
	columns := s.columns(doc.Content[0])
	return columns, errors.Join(s.errs...)
}

type settings struct {
	name  string
	lines []string
	errs  []error
}

func (s *settings) errorf(n *yaml.Node, format string, args ...any) {
	source := ""
	if n.Line >= 1 && n.Line <= len(s.lines) {
		source = "\n\t" + strings.TrimRight(s.lines[n.Line-1], "\r")
	}
	s.errs = append(s.errs, fmt.Errorf("%s:%d:%d: %s%s", s.name, n.Line, n.Column, fmt.Sprintf(format, args...), source))
}

func (s *settings) columns(root *yaml.Node) map[string]listing.Name {
	if root.Kind != yaml.MappingNode {
		s.errorf(root, "expected the key 'columns'")
		return nil
	}
	var columns map[string]listing.Name
	for i := 0; i+1 < len(root.Content); i += 2 {
		key, value := root.Content[i], root.Content[i+1]
		switch {
		case key.Value != "columns":
			s.errorf(key, "unknown key %q; only 'columns' is known", key.Value)
		case columns != nil:
			s.errorf(key, "'columns' stands twice")
		case value.Kind != yaml.MappingNode:
			s.errorf(value, "'columns' must list headers and their fields")
		default:
			columns = s.headers(value)
		}
	}
	if columns == nil && len(s.errs) == 0 {
		s.errorf(root, "expected the key 'columns'")
	}
	return columns
}

func (s *settings) headers(list *yaml.Node) map[string]listing.Name {
	columns := map[string]listing.Name{}
	for i := 0; i+1 < len(list.Content); i += 2 {
		key, value := list.Content[i], list.Content[i+1]
		header := strings.TrimSpace(key.Value)
		n := listing.NameOf(value.Value)
		switch {
		case key.Kind != yaml.ScalarNode || header == "":
			s.errorf(key, "a column's header must be a text")
		case value.Kind != yaml.ScalarNode:
			s.errorf(value, "the field of column %q must be a name", header)
		case n == listing.NoField && value.Value != NotAField:
			s.errorf(value, "%q is no field; write one such as price, or none", value.Value)
		default:
			if _, twice := columns[header]; twice {
				s.errorf(key, "column %q stands twice", header)
			}
			columns[header] = n
		}
	}
	return columns
}
