package photo

import "bytes"

// jpegMap reads the luma map of a JPEG file from its DC terms alone: the DC term
// of a block is eight times the mean of its 64 samples (ITU-T T.81, A.3.3), so no
// transform is needed and no pixel is stored.
//
// It takes 8-bit sequential and progressive files with Huffman codes, in grey or
// in YCbCr with the colour at full or half size. All codes are read, those that
// are passed over too. Whatever is rare, damaged or in any way doubtful is
// not taken (ok is false) and left to the full decoder, whose verdict counts: a
// file that image/jpeg refuses is never taken.
func jpegMap(data []byte) (m *lumaMap, ok bool) {
	d := &dcReader{bits: bitReader{data: data, at: 2}}
	if !bytes.HasPrefix(data, []byte{0xFF, 0xD8}) || !d.segments() || !d.complete() {
		return nil, false
	}
	luma := d.components[0]
	m = newMap(d.width, d.height, block)
	for r := range m.rows {
		for c := range m.cols {
			mean := int64(luma.dc[r*luma.stride+c])*int64(d.quantum[luma.table])*(meanUnit/8) + 128*meanUnit
			m.mean[r*m.cols+c] = uint16(min(max(mean, 0), 255*meanUnit))
		}
	}
	return m, true
}

// dcReader is the state of reading one file.
type dcReader struct {
	bits          bitReader
	width, height int
	progressive   bool
	components    []*component
	across, down  int    // units (MCU) in the picture
	quantum       [4]int // first entry of each quantisation table, 0 if not set
	codes         [2][4]*huffman
	restart       int // units between restart markers, 0 for none
	jfif          bool
	adobe         int // the Adobe segment's transform, -1 if there is none
	scans         int
}

// component is a plane of the picture.
type component struct {
	id         byte
	h, v       int // blocks per unit
	table      byte
	cols, rows int // blocks that show part of the picture
	stride     int // blocks in a line of units
	dc         []int32
	nonzero    []uint64 // for progressive files: which coefficients are not 0
	seen       bool     // its DC terms were read
}

// segments reads the file from marker to marker.
func (d *dcReader) segments() bool {
	d.adobe = -1
	for {
		data, at := d.bits.data, d.bits.at
		if at+2 > len(data) || data[at] != 0xFF {
			return false
		}
		marker := data[at+1]
		if marker == 0xD9 {
			return true
		}
		if at+4 > len(data) {
			return false
		}
		end := at + 2 + int(data[at+2])<<8 + int(data[at+3])
		if end < at+4 || end > len(data) {
			return false
		}
		d.bits.at = end
		if !d.segment(marker, data[at+4:end]) {
			return false
		}
	}
}

func (d *dcReader) segment(marker byte, body []byte) bool {
	switch {
	case marker == 0xC0, marker == 0xC1, marker == 0xC2:
		d.progressive = marker == 0xC2
		return d.frame(body)
	case marker == 0xC4:
		return d.huffmanTables(body)
	case marker == 0xDB:
		return d.quantisation(body)
	case marker == 0xDD:
		if len(body) != 2 {
			return false
		}
		d.restart = int(body[0])<<8 | int(body[1])
		return true
	case marker == 0xDA:
		d.scans++
		return d.scan(body)
	case marker == 0xE0:
		if len(body) >= 5 {
			d.jfif = bytes.HasPrefix(body, []byte("JFIF\x00"))
		}
		return true
	case marker == 0xEE:
		if len(body) >= 12 && bytes.HasPrefix(body, []byte("Adobe")) {
			d.adobe = int(body[11])
		}
		return true
	}
	return marker > 0xE0 && marker <= 0xEF || marker == 0xFE
}

// frame reads the frame header (B.2.2).
func (d *dcReader) frame(body []byte) bool {
	if d.components != nil || len(body) != 9 && len(body) != 15 || body[0] != 8 || 6+3*int(body[5]) != len(body) {
		return false
	}
	d.height, d.width = int(body[1])<<8|int(body[2]), int(body[3])<<8|int(body[4])
	if min(d.width, d.height) < smallSide || d.width*d.height > MaxPixels {
		return false
	}
	for ; len(body) > 6; body = body[3:] {
		c := &component{id: body[6], h: int(body[7] >> 4), v: int(body[7] & 15), table: body[8]}
		for _, other := range d.components {
			if other.id == c.id {
				return false
			}
		}
		d.components = append(d.components, c)
		if c.table > 3 {
			return false
		}
	}
	luma := d.components[0]
	if len(d.components) == 1 {
		luma.h, luma.v = 1, 1 // a single plane is never interleaved (A.2.2)
	}
	if luma.h < 1 || luma.h > 2 || luma.v < 1 || luma.v > 2 {
		return false
	}
	d.across, d.down = ceil(d.width, 8*luma.h), ceil(d.height, 8*luma.v)
	for i, c := range d.components {
		if i > 0 && (c.h != 1 || c.v != 1) {
			return false
		}
		c.stride = d.across * c.h
		c.cols, c.rows = ceil(ceil(d.width*c.h, luma.h), 8), ceil(ceil(d.height*c.v, luma.v), 8)
		c.dc = make([]int32, c.stride*d.down*c.v)
		if d.progressive {
			c.nonzero = make([]uint64, len(c.dc))
		}
	}
	return true
}

func ceil(a, b int) int { return (a + b - 1) / b }

// quantisation reads quantisation tables (B.2.4.1), of which the first entry is
// wanted. A change between scans is left to the full decoder.
func (d *dcReader) quantisation(body []byte) bool {
	if d.scans > 0 {
		return false
	}
	for len(body) > 0 {
		wide, id := int(body[0]>>4), body[0]&15
		if wide > 1 || id > 3 || len(body) < 1+64*(1+wide) {
			return false
		}
		d.quantum[id] = int(body[1])
		if wide == 1 {
			d.quantum[id] = int(body[1])<<8 | int(body[2])
		}
		body = body[1+64*(1+wide):]
	}
	return true
}

// huffmanTables reads code tables (B.2.4.2).
func (d *dcReader) huffmanTables(body []byte) bool {
	for len(body) > 0 {
		if len(body) < 17 {
			return false
		}
		class, id, n := body[0]>>4, body[0]&15, 0
		for _, c := range body[1:17] {
			n += int(c)
		}
		if class > 1 || id > 3 || id > 1 && !d.progressive || n > 256 || len(body) < 17+n {
			return false
		}
		h := newHuffman(body[1:17], body[17:17+n])
		if h == nil {
			return false
		}
		if class == 1 && !d.progressive {
			h.readyToPass()
		}
		d.codes[class][id] = h
		body = body[17+n:]
	}
	return true
}

// complete reports whether the luma was read and is luma indeed.
func (d *dcReader) complete() bool {
	for _, c := range d.components {
		if !c.seen || d.quantum[c.table] == 0 {
			return false
		}
	}
	switch len(d.components) {
	case 1:
		return true
	case 3:
		c := d.components
		rgb := c[0].id == 'R' && c[1].id == 'G' && c[2].id == 'B'
		return d.jfif || d.adobe > 0 || d.adobe < 0 && !rgb
	}
	return false
}
