package table

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/parse/values"
)

// maxJSONLine bounds a line of NDJSON, in bytes.
const maxJSONLine = 8 << 20

// StreamLines reads NDJSON: lines that the extract command wrote come back as
// they were; other objects are read like the row of a table, their keys being
// the headers. The result's columns list the keys of such objects.
func StreamLines(r io.Reader, file string, opt Options, yield func(*listing.Listing)) Result {
	lr := &lineReader{t: &tableReader{file: file, opt: opt, seen: map[string]int{}}, keys: map[string]ColumnMatch{}}
	text, note, err := decode(r)
	if err != nil {
		lr.t.problems.refuse(file, listing.Place{}, "", err.Error(), "")
		return lr.t.result()
	}
	if note != "" {
		lr.t.problems.note(file, note, "")
	}
	for line := 1; ; line++ {
		data, tooLong, err := wholeLine(text)
		switch {
		case tooLong:
			lr.refuse(line, data[:min(len(data), 200)], "a line of more than eight megabytes")
		case len(bytes.TrimSpace(data)) > 0:
			lr.read(data, line, yield)
		}
		if err != nil {
			if !errors.Is(err, io.EOF) {
				lr.refuse(line, nil, "reading stopped: "+err.Error())
			}
			break
		}
	}
	return lr.t.result()
}

// wholeLine gives the next line without its end; of a line that is too long
// only the beginning.
func wholeLine(r *bufio.Reader) (line []byte, tooLong bool, err error) {
	for {
		part, err := r.ReadSlice('\n')
		if len(line)+len(part) > maxJSONLine {
			tooLong = true
		} else {
			line = append(line, part...)
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return bytes.TrimRight(line, "\r\n"), tooLong, err
		}
	}
}

type lineReader struct {
	t    *tableReader
	keys map[string]ColumnMatch
}

func (lr *lineReader) refuse(line int, raw []byte, reason string) {
	lr.t.problems.refuse(lr.t.file, listing.Place{Row: int32(line)}, string(raw), reason, "")
}

func (lr *lineReader) read(data []byte, line int, yield func(*listing.Listing)) {
	var probe struct {
		Listing *json.RawMessage `json:"listing"`
		Fields  *json.RawMessage `json:"fields"`
	}
	if err := json.Unmarshal(data, &probe); err != nil {
		lr.refuse(line, data, "not a JSON object: "+err.Error())
		return
	}
	if probe.Listing != nil && probe.Fields != nil {
		l, err := listing.FromLine(data)
		if err != nil {
			lr.refuse(line, data, err.Error())
			return
		}
		lr.t.rows++
		yield(l)
		return
	}
	if l := lr.object(data, line); l != nil {
		lr.t.accept(built{listing: l}, yield)
	}
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
	l := &listing.Listing{File: lr.t.file, Row: line}
	cells := map[listing.Name]string{}
	header := map[listing.Name]string{}
	for _, key := range sortedKeys(object) {
		m := lr.match(key, line)
		text, ok := scalarText(object[key])
		if m.Field == listing.NoField || !ok || cells[m.Field] != "" {
			continue
		}
		cells[m.Field], header[m.Field] = text, key
	}
	order := append([]listing.Name{listing.Currency, listing.Language}, listing.Names()...)
	for _, n := range order {
		if text := cells[n]; text != "" {
			lr.t.problems.add(values.Set(l, n, text, listing.Cell(line, header[n]), &lr.t.opt.Hints)...)
			delete(cells, n)
		}
	}
	if len(l.Fields()) == 0 {
		lr.refuse(line, data, "no key is the name of a field")
		return nil
	}
	lr.t.problems.add(values.Derive(l, &lr.t.opt.Hints)...)
	l.Key = keyOf(l)
	return l
}

// match finds the field of a key and reports once if there is none.
func (lr *lineReader) match(key string, line int) ColumnMatch {
	if m, ok := lr.keys[key]; ok {
		return m
	}
	m := matchHeader(key, lr.t.opt.Columns)
	if len(lr.keys) < maxColumns {
		lr.keys[key] = m
		lr.t.columns = append(lr.t.columns, m)
		if m.Field == listing.NoField {
			lr.t.problems.unread(lr.t.file, listing.Cell(line, key), key, fmt.Sprintf("key %q is not used: %s", key, m.Reason))
		}
	}
	return m
}

func sortedKeys(object map[string]any) []string {
	keys := make([]string, 0, len(object))
	for key := range object {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	return keys
}

// scalarText gives a text, a number or a list of them as text.
func scalarText(v any) (string, bool) {
	switch v := v.(type) {
	case string:
		return v, true
	case json.Number:
		return v.String(), true
	case bool:
		return fmt.Sprint(v), true
	case []any:
		var parts []string
		for _, x := range v {
			if text, ok := scalarText(x); ok {
				parts = append(parts, text)
			}
		}
		return strings.Join(parts, "; "), len(parts) > 0
	}
	return "", false
}
