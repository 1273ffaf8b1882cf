package table

import "bytes"

// cells cuts one physical line into cells. inside says that the line goes on
// with a quoted cell. open reports that the last cell's quote is not closed,
// bad what makes the record unreadable.
func (r *recordReader) cells(line []byte, inside bool) (open bool, bad string) {
	body := trimLineEnd(line)
	if inside {
		at, closed := r.quoted(line, 0)
		if !closed {
			return true, ""
		}
		return r.behindQuote(line, body, at)
	}
	return r.plain(line, body, 0)
}

func trimLineEnd(line []byte) []byte {
	return bytes.TrimSuffix(bytes.TrimSuffix(line, []byte("\n")), []byte("\r"))
}

// plain reads the cells from offset i on.
func (r *recordReader) plain(line, body []byte, i int) (open bool, bad string) {
	for {
		if len(r.ends) >= maxColumns {
			return false, "more than 4096 cells"
		}
		if i < len(body) && body[i] == '"' {
			at, closed := r.quoted(line, i+1)
			if !closed {
				return true, ""
			}
			return r.behindQuote(line, body, at)
		}
		end := bytes.IndexByte(body[i:], r.sep)
		cell := body[i:]
		if end >= 0 {
			cell = body[i : i+end]
		}
		if bytes.IndexByte(cell, '"') >= 0 {
			return false, "a quote inside a cell that is not quoted"
		}
		r.endCell(cell)
		if end < 0 {
			return false, ""
		}
		i += end + 1
	}
}

func (r *recordReader) endCell(cell []byte) {
	r.buf = append(r.buf, cell...)
	r.ends = append(r.ends, len(r.buf))
}

// quoted copies a quoted cell from offset i on, its line end included when the
// quote is not closed on this line.
func (r *recordReader) quoted(line []byte, i int) (at int, closed bool) {
	for {
		k := bytes.IndexByte(line[i:], '"')
		if k < 0 {
			r.buf = append(r.buf, line[i:]...)
			return len(line), false
		}
		r.buf = append(r.buf, line[i:i+k]...)
		i += k + 1
		if i < len(line) && line[i] == '"' {
			r.buf = append(r.buf, '"')
			i++
			continue
		}
		return i, true
	}
}

// behindQuote goes on after a closing quote: a delimiter or the line end.
func (r *recordReader) behindQuote(line, body []byte, at int) (open bool, bad string) {
	r.endCell(nil)
	if at >= len(body) {
		return false, ""
	}
	if body[at] != r.sep {
		return false, "text behind a closing quote"
	}
	return r.plain(line, body, at+1)
}
