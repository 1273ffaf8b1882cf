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
)

// listKeys are names under which programs answer with a list. Common practice,
// no source.
var listKeys = []string{"items", "results", "result", "listings", "products", "offers", "records", "rows", "hits", "docs", "documents", "entries",
	"ads", "articles", "elements", "edges", "nodes", "list", "data", "content", "value", "values", "objects", "search_results", "searchresults"}

// document is the reading of one JSON object that holds the listings in a list
// somewhere inside, {"data": {"results": [...]}}, or is a listing itself.
type document struct {
	lr    *lineReader
	in    *allowance
	dec   *json.Decoder
	yield func(*listing.Listing)
	n     int    // listings' objects so far
	path  string // of the list they come from
	kept  int    // bytes of what may be a listing itself
}

// oneDocument tells a single object, in one line or printed over several, from
// a file with an object on each line.
func oneDocument(head []byte) bool {
	first, rest, ok := bytes.Cut(bytes.TrimSpace(head), []byte("\n"))
	return !ok || len(rest) > 0 && rest[0] != '{' && !json.Valid(first)
}

// document reads the object, and what stands behind it as lines.
func (lr *lineReader) document(text io.Reader, yield func(*listing.Listing)) (rest io.Reader) {
	in := &allowance{text, maxJSONLine}
	d := &document{lr: lr, in: in, dec: json.NewDecoder(in), yield: yield}
	d.dec.UseNumber()
	_, err := d.token() // the brace
	var whole []byte
	if err == nil {
		whole, err = d.object("", 0)
	}
	switch {
	case err != nil && d.n > 0:
		lr.refuse(d.n, nil, fmt.Sprintf("reading of the list %s stopped behind its object %d: %v", d.path, d.n, eof(err)))
	case err != nil:
		lr.refuse(1, whole, "not a JSON object: "+eof(err).Error())
	case d.n > 0:
		lr.t.problems.notice(lr.t.file, listing.Place{}, d.path, "the objects of the list "+d.path+" are read, nothing else of the document", "")
	case d.kept > maxJSONLine:
		lr.refuse(1, nil, errLongObject.Error())
	default:
		lr.read(whole, 1, yield)
	}
	behind := bufio.NewReader(io.MultiReader(d.dec.Buffered(), text))
	if err != nil && !nextLine(behind) {
		return strings.NewReader("")
	}
	return behind
}

// nextLine goes to the next line behind a damaged object, and reports whether
// an object begins there.
func nextLine(r *bufio.Reader) bool {
	for {
		_, err := r.ReadSlice('\n')
		if err == nil {
			break
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return false
		}
	}
	head, _ := r.Peek(1)
	return string(head) == "{"
}

// eof words the end of the file as what it is inside an object.
func eof(err error) error {
	if errors.Is(err, io.EOF) {
		return io.ErrUnexpectedEOF
	}
	return err
}

func (d *document) token() (json.Token, error) {
	d.in.left = maxJSONLine
	return d.dec.Token()
}

// object reads the members behind an opening brace and gives the object again,
// as far as it may be a listing.
func (d *document) object(path string, depth int) ([]byte, error) {
	whole := []byte{'{'}
	var names []listing.Name // of the fields that its members have
	for d.dec.More() {
		t, err := d.token()
		if err != nil {
			return whole, err
		}
		key, _ := t.(string)
		if m := exactMatch(key, d.lr.t.opt.Columns); m.Field != listing.NoField && len(names) < maxColumns {
			names = append(names, m.Field)
		}
		value, err := d.value(join(path, key), key, depth, names)
		if err != nil {
			return whole, err
		}
		if d.kept += len(key) + len(value) + 4; d.kept > maxJSONLine {
			continue
		}
		name, _ := json.Marshal(key)
		if len(whole) > 1 {
			whole = append(whole, ',')
		}
		whole = append(append(append(whole, name...), ':'), value...)
	}
	_, err := d.token()
	return append(whole, '}'), err
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

func (d *document) value(path, key string, depth int, beside []listing.Name) ([]byte, error) {
	d.in.left = maxJSONLine
	if depth >= maxNesting {
		var raw json.RawMessage
		err := d.dec.Decode(&raw)
		return raw, err
	}
	t, err := d.token()
	if err != nil {
		return nil, err
	}
	switch t {
	case json.Delim('{'):
		return d.object(path, depth+1)
	case json.Delim('['):
		return d.list(path, key, beside)
	}
	return json.Marshal(t)
}

// list reads the elements behind an opening bracket: as listings when the first
// one looks like one, else as a value of the object around.
func (d *document) list(path, key string, beside []listing.Name) ([]byte, error) {
	whole := []byte{'['}
	taken := false
	for n := 0; d.dec.More(); n++ {
		var raw json.RawMessage
		d.in.left = maxJSONLine
		if err := d.dec.Decode(&raw); err != nil {
			return whole, err
		}
		if n == 0 {
			taken = (d.path == "" || d.path == path) && d.lists(key, raw, beside)
		}
		switch {
		case taken:
			d.path = path
			d.n++
			d.lr.read(raw, d.n, d.yield)
		case d.kept+len(whole)+len(raw) <= maxJSONLine:
			if n > 0 {
				whole = append(whole, ',')
			}
			whole = append(whole, raw...)
		default:
			d.kept = maxJSONLine + 1
		}
	}
	_, err := d.token()
	return append(whole, ']'), err
}

// lists reports whether a list is one of listings: under a name that says list,
// objects with two fields that every listing has, under another name with a
// price, and not beside a price, for then the object around is the listing.
func (d *document) lists(key string, first []byte, beside []listing.Name) bool {
	if slices.Contains(beside, listing.Price) {
		return false
	}
	var object map[string]any
	if json.Unmarshal(first, &object) != nil {
		return false
	}
	if object["listing"] != nil && object["fields"] != nil {
		return true
	}
	f := flattened{text: map[string][]string{}}
	f.add("", object, 0)
	has := map[listing.Name]bool{}
	for _, k := range f.keys[:min(len(f.keys), 200)] {
		switch n := matchKey(k, d.lr.t.opt.Columns).Field; n {
		case listing.Title, listing.Price, listing.PartNumber, listing.SKU, listing.ListingID, listing.URL, listing.Seller:
			has[n] = true
		}
	}
	return len(has) >= 2 && (has[listing.Price] || slices.Contains(listKeys, strings.ToLower(key)))
}
