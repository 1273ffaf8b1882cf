package table

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/parse/values"
)

// cell is the text of one key of an object.
type cell struct {
	key, text string
	how       int // strength of the match
}

// object reads an object of another exporter.
func (lr *lineReader) object(data []byte, line int) *listing.Listing {
	var object map[string]any
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.UseNumber()
	if err := dec.Decode(&object); err != nil {
		lr.refuse(line, data, "not a JSON object: "+err.Error())
		return nil
	}
	f := flattened{text: map[string][]string{}}
	f.add("", object, 0)
	if f.cut {
		lr.t.problems.notice(lr.t.file, listing.Place{Row: int32(line)}, "", "an object with too many or too deeply nested keys; those beyond the bound were not read", "")
	}
	l := &listing.Listing{File: lr.t.file, Row: line}
	cells := map[listing.Name]cell{}
	for _, key := range f.keys {
		m := lr.match(key, line)
		c := cell{key, strings.Join(f.text[key], "; "), strength[m.How]}
		if m.Field == listing.NoField || c.text == "" {
			continue
		}
		if before, ok := cells[m.Field]; ok {
			if c.how <= before.how {
				before, c = c, before
			}
			lr.twin(before.key, c.key, m.Field, line)
		}
		cells[m.Field] = c
	}
	for _, n := range append([]listing.Name{listing.Currency, listing.Language}, listing.Names()...) {
		c, ok := cells[n]
		if !ok {
			continue
		}
		from := listing.Cell(line, c.key)
		if n == listing.PhotoFiles {
			setPhotos(l, c.text, from)
		} else {
			lr.t.problems.add(values.Set(l, n, c.text, from, &lr.t.opt.Hints)...)
		}
		delete(cells, n)
	}
	if l.Len() == 0 {
		lr.refuse(line, data, "no key is the name of a field")
		return nil
	}
	lr.t.problems.add(values.Derive(l, &lr.t.opt.Hints)...)
	l.Key = keyOf(l)
	return l
}

// twin reports once a key whose field another key of the object has too.
func (lr *lineReader) twin(lost, won string, field listing.Name, line int) {
	if lr.twins == nil {
		lr.twins = map[string]bool{}
	}
	if lr.twins[lost] || len(lr.twins) >= maxColumns {
		return
	}
	lr.twins[lost] = true
	lr.t.problems.unread(lr.t.file, listing.Cell(line, lost), lost, fmt.Sprintf("key %q is not used: %q is %s too", lost, won, field))
}

// match finds the field of a key and reports once if there is none.
func (lr *lineReader) match(key string, line int) ColumnMatch {
	if m, ok := lr.keys[key]; ok {
		return m
	}
	m := matchKey(key, lr.t.opt.Columns)
	if len(lr.keys) < maxColumns {
		lr.keys[key] = m
		lr.t.columns = append(lr.t.columns, m)
		if m.Field == listing.NoField && m.How != ByUser {
			lr.t.problems.unread(lr.t.file, listing.Cell(line, key), key, fmt.Sprintf("key %q is not used: %s", key, m.Reason))
		}
	}
	return m
}

// wrappers are keys of objects that only hold the offer's own keys, and plain
// those of the text of the object around them.
var (
	wrappers = []string{"listing", "item", "product", "offer", "offers", "data", "attributes", "node", "_source", "record", "document"}
	plain    = []string{"name", "value", "amount", "text", "display"}
)

// matchKey finds the field of a key. A nested one counts with its dots, then
// without an outer key that says nothing, then without such an inner one.
func matchKey(key string, user map[string]listing.Name) ColumnMatch {
	m := matchHeader(key, user)
	try := func(shorter string) bool {
		n := matchKey(shorter, user)
		if n.Field != listing.NoField {
			n.Header = m.Header
			m = n
		}
		return n.Field != listing.NoField
	}
	if m.Field != listing.NoField || m.How == ByUser {
		return m
	}
	if outer, rest, ok := strings.Cut(key, "."); ok && slices.Contains(wrappers, strings.ToLower(outer)) && try(rest) {
		return m
	}
	if i := strings.LastIndexByte(key, '.'); i > 0 {
		if slices.Contains(plain, strings.ToLower(key[i+1:])) && try(key[:i]) {
			return m
		}
		if strings.EqualFold(key[i+1:], "currency") && isSum(matchKey(key[:i], user).Field) && try(key[i+1:]) {
			return m
		}
	}
	return m
}

// Bounds of one object.
const (
	maxNesting   = 8
	maxListItems = 1000
)

// flattened is an object with the keys of nested ones behind dots, sorted.
// What several objects of a list have under one key is a list.
type flattened struct {
	keys []string
	text map[string][]string
	cut  bool
}

func (f *flattened) add(prefix string, object map[string]any, depth int) {
	for _, key := range sortedKeys(object) {
		f.put(prefix+key, object[key], depth)
	}
	if depth == 0 {
		slices.Sort(f.keys)
	}
}

func (f *flattened) put(key string, v any, depth int) {
	switch v := v.(type) {
	case map[string]any:
		if depth >= maxNesting {
			f.cut = true
			return
		}
		f.add(key+".", v, depth+1)
		return
	case []any:
		for i, x := range v {
			if i == maxListItems {
				f.cut = true
				return
			}
			f.put(key, x, depth+1)
		}
		return
	}
	text, ok := scalarText(v)
	if !ok || depth > maxNesting {
		f.cut = f.cut || ok
		return
	}
	if _, known := f.text[key]; !known {
		if len(f.keys) == maxColumns {
			f.cut = true
			return
		}
		f.keys = append(f.keys, key)
	}
	f.text[key] = append(f.text[key], text)
}

func sortedKeys(object map[string]any) []string {
	keys := make([]string, 0, len(object))
	for key := range object {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	return keys
}

// scalarText gives a text, a number or a truth value as text.
func scalarText(v any) (string, bool) {
	switch v := v.(type) {
	case string:
		return v, true
	case json.Number:
		return v.String(), true
	case bool:
		return fmt.Sprint(v), true
	}
	return "", false
}
