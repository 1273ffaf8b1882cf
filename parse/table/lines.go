package table

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"counterfoil/parse/listing"
)

// maxJSONLine bounds a line of NDJSON and an object of an array, in bytes.
const maxJSONLine = 8 << 20

// StreamLines reads NDJSON, one object a line, one JSON array of objects, or
// one JSON object that holds such an array or is a listing itself.
// Lines that the extract command wrote come back as they were, those that hold a
// problem in the result's Told; other objects
// are read like the row of a table, their keys being the headers, those of
// nested objects behind a dot ("seller.name"). In an array a listing's row is
// the ordinal of its object. The result's columns list the keys.
func StreamLines(r io.Reader, file string, opt Options, yield func(*listing.Listing)) Result {
	lr := &lineReader{t: &tableReader{file: file, opt: opt, seen: map[string]int{}}, keys: map[string]ColumnMatch{}}
	text, err := decode(r, opt.Encoding)
	if err != nil {
		lr.t.problems.refuse(file, listing.Place{}, "", err.Error(), "")
		return lr.t.result()
	}
	if text.note != "" {
		lr.t.problems.note(file, text.note, "if letters look wrong, name the encoding with --encoding")
	}
	head, _ := text.Peek(sniffSize)
	switch {
	case bytes.HasPrefix(bytes.TrimSpace(head), []byte("[")):
		lr.array(text, yield)
	case bytes.HasPrefix(bytes.TrimSpace(head), []byte("{")) && oneDocument(head):
		lr.lines(bufio.NewReader(lr.document(text, yield)), 2, yield)
	default:
		lr.lines(text.Reader, 1, yield)
	}
	text.sayLost(&lr.t.problems, file)
	res := lr.t.result()
	res.Told = lr.told
	return res
}

func (lr *lineReader) lines(text *bufio.Reader, line int, yield func(*listing.Listing)) {
	for ; ; line++ {
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
			return
		}
	}
}

// allowance bounds what may be read for one value of an array.
type allowance struct {
	r    io.Reader
	left int
}

var errLongObject = errors.New("an object of more than eight megabytes")

func (a *allowance) Read(p []byte) (int, error) {
	if a.left <= 0 {
		return 0, errLongObject
	}
	n, err := a.r.Read(p[:min(len(p), a.left)])
	a.left -= n
	return n, err
}

// array reads the objects of one JSON array, one in memory at a time. Behind a
// value that is damaged nothing can be told from it, so reading stops there.
func (lr *lineReader) array(text io.Reader, yield func(*listing.Listing)) {
	in := &allowance{text, maxJSONLine}
	dec := json.NewDecoder(in)
	_, err := dec.Token() // the bracket
	n := 0
	for err == nil && dec.More() {
		n++
		var value json.RawMessage
		in.left = maxJSONLine
		if err = dec.Decode(&value); err == nil {
			lr.read(value, n, yield)
		}
	}
	if err == nil {
		_, err = dec.Token()
	}
	if err == nil {
		if _, err = dec.Token(); errors.Is(err, io.EOF) {
			return
		}
		lr.refuse(n, nil, "more text behind the end of the array; it is not read")
		return
	}
	if errors.Is(err, io.EOF) {
		err = io.ErrUnexpectedEOF
	}
	lr.refuse(max(n, 1), nil, fmt.Sprintf("reading of the array stopped at its object %d: %v", max(n, 1), err))
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
	told []listing.Problem
	// twins are keys reported because another one is the same field.
	twins map[string]bool
}

func (lr *lineReader) refuse(line int, raw []byte, reason string) {
	lr.t.problems.refuse(lr.t.file, listing.Place{Row: int32(line)}, string(raw), reason, "")
}

func (lr *lineReader) read(data []byte, line int, yield func(*listing.Listing)) {
	var probe struct {
		Listing *json.RawMessage `json:"listing"`
		Fields  *json.RawMessage `json:"fields"`
		Record  json.RawMessage  `json:"record"`
	}
	if err := json.Unmarshal(data, &probe); err != nil {
		lr.refuse(line, data, "not a JSON object: "+err.Error())
		return
	}
	if string(probe.Record) == `"`+listing.ProblemRecord+`"` {
		p, err := listing.FromProblemLine(data)
		if err != nil {
			lr.refuse(line, data, err.Error())
			return
		}
		lr.told = append(lr.told, p)
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
