package photo

import (
	"encoding/binary"
)

// bitReader reads the entropy-coded bytes of a JPEG scan up to the next marker.
// Past the end it gives zeros, and left goes below zero.
type bitReader struct {
	data []byte
	at   int    // next byte
	acc  uint64 // bits to come, the first one highest
	left int    // bits in acc
}

// fill brings at least 32 bits into acc, if there are so many.
func (r *bitReader) fill() {
	if r.at+8 <= len(r.data) {
		x := binary.BigEndian.Uint64(r.data[r.at:])
		if inverse := ^x; (inverse-0x0101010101010101)&^inverse&0x8080808080808080 == 0 && r.left >= 0 {
			// No byte is 0xFF.
			r.acc |= x >> r.left
			n := (63 - r.left) / 8
			r.at += n
			r.left += n * 8
			r.acc &= ^uint64(0) << (64 - r.left)
			return
		}
	}
	for r.left <= 56 && r.left >= 0 && r.at < len(r.data) {
		b := r.data[r.at]
		if b == 0xFF {
			if r.at+1 >= len(r.data) || r.data[r.at+1] != 0 {
				return // a marker
			}
			r.at++
		}
		r.at++
		r.acc |= uint64(b) << (56 - r.left)
		r.left += 8
	}
}

func (r *bitReader) skip(n int) {
	r.acc <<= n
	r.left -= n
}

// take reads n bits, at most 16.
func (r *bitReader) take(n int) int {
	if r.left < n {
		r.fill()
	}
	v := int(r.acc >> 1 >> (63 - n))
	r.skip(n)
	return v
}

// extended reads n bits as a signed difference (ITU-T T.81, F.2.2.1).
func (r *bitReader) extended(n int) int {
	v := r.take(n)
	if n > 0 && v < 1<<(n-1) {
		v -= 1<<n - 1
	}
	return v
}

// finish ends a segment: what is left must be the padding of the last byte, and
// a marker must follow. It gives the marker and steps over it.
func (r *bitReader) finish() (marker byte, ok bool) {
	if r.left < 0 || r.left > 7 || r.at+1 >= len(r.data) || r.data[r.at] != 0xFF || r.data[r.at+1] == 0 {
		return 0, false
	}
	marker = r.data[r.at+1]
	r.at += 2
	r.acc, r.left = 0, 0
	return marker, true
}

// lookBits is the number of bits that are looked up at once.
const lookBits = 10

// huffman is a table of codes (ITU-T T.81, annex C).
type huffman struct {
	// look holds, for codes of at most lookBits, length<<8 | symbol; else 0.
	look [1 << lookBits]uint16
	// pass holds, for codes of AC coefficients in a sequential scan, how to pass
	// over as many codes with their values at once as the bits show: the places
	// passed, passEnd if the end of the block is the last of them, and the bits.
	// It is made by readyToPass; 0 where the bits show no code in full.
	pass    [1 << passBits]uint16
	last    [17]int // greatest code of each length, -1 if none
	offset  [17]int // index of the first symbol of each length, less its code
	symbols []byte
}

// Numbers of huffman.pass.
const (
	passBits   = 12
	passLength = 31 // mask of the number of bits
	passEnd    = 32
	passPlaces = 6 // bits below the number of places
)

// newHuffman builds a table from the numbers of codes of length 1 to 16 and the
// symbols in order. It is nil if there are no codes or more than fit.
func newHuffman(counts, symbols []byte) *huffman {
	h := &huffman{symbols: symbols}
	code, index := 0, 0
	for length := 1; length <= 16; length++ {
		n := int(counts[length-1])
		h.offset[length] = index - code
		h.last[length] = -1
		if n > 0 {
			h.last[length] = code + n - 1
		}
		for range n {
			if length <= lookBits {
				h.enter(code, length, symbols[index])
			}
			code, index = code+1, index+1
		}
		if code > 1<<length {
			return nil
		}
		code <<= 1
	}
	if index == 0 {
		return nil
	}
	return h
}

func (h *huffman) enter(code, length int, symbol byte) {
	first := code << (lookBits - length)
	for i := range 1 << (lookBits - length) {
		if first+i >= len(h.look) {
			return // more codes than fit: newHuffman refuses the table
		}
		h.look[first+i] = uint16(length<<8) | uint16(symbol)
	}
}

// readyToPass fills pass.
func (h *huffman) readyToPass() {
	for shown := range h.pass {
		bits, places, end := 0, 0, 0
		for bits < passBits && end == 0 {
			e := h.look[shown<<bits&(1<<passBits-1)>>(passBits-lookBits)]
			length, symbol := int(e>>8), byte(e)
			size, run := int(symbol&15), int(symbol>>4)
			all := bits + length + size
			if e == 0 || bits+length > passBits || all > passLength || size == 0 && run != 0 && run != 15 || places+run+1 > 64 {
				break // nor runs of blocks, which a sequential scan does not have
			}
			bits = all
			if symbol == 0 {
				end = passEnd
			} else {
				places += run + 1
			}
		}
		h.pass[shown] = uint16(places<<passPlaces | end | bits)
	}
}

// symbol reads the next code's symbol.
func (r *bitReader) symbol(h *huffman) (byte, bool) {
	if r.left < 32 {
		r.fill()
	}
	if e := h.look[r.acc>>(64-lookBits)]; e != 0 {
		r.skip(int(e >> 8))
		return byte(e), r.left >= 0
	}
	for length := 1; length <= 16; length++ {
		code := int(r.acc >> (64 - length))
		if code <= h.last[length] {
			r.skip(length)
			return h.symbols[h.offset[length]+code], r.left >= 0
		}
	}
	return 0, false
}

// sequential reads a block of a sequential scan: the difference of its DC term
// (ITU-T T.81, F.2.2.1); its AC coefficients are passed over. Bits are kept in
// variables of its own, which is what makes it fast; past the end left stays below
// zero, so that one look at the end of the block does.
func (r *bitReader) sequential(dc, ac *huffman) (difference int, ok bool) {
	if r.left < 32 {
		r.fill()
	}
	acc, left := r.acc, r.left
	size := 0
	if e := int(dc.look[acc>>(64-lookBits)]); e != 0 {
		size = e & 0xFF
		acc <<= e >> 8
		left -= e >> 8
	} else {
		symbol, known := r.symbol(dc)
		if !known {
			return 0, false
		}
		size, acc, left = int(symbol), r.acc, r.left
	}
	if size > 11 {
		return 0, false
	}
	if size > 0 { // at most 27 bits so far
		difference = int(acc >> (64 - size))
		if difference < 1<<(size-1) {
			difference -= 1<<size - 1
		}
		acc <<= size
		left -= size
	}
	for place := 1; place < 64; {
		if left < 32 {
			r.acc, r.left = acc, left
			r.fill()
			acc, left = r.acc, r.left
		}
		e := uint(ac.pass[acc>>(64-passBits)])
		bits, to := int(e&passLength), place+int(e>>passPlaces)
		if e&passEnd != 0 && to < 64 {
			acc <<= bits
			left -= bits
			break
		}
		if e&passEnd == 0 && e != 0 && to <= 64 {
			acc <<= bits
			left -= bits
			place = to
			continue
		}
		// A long code, the last of a block with others after it, or damage.
		r.acc, r.left = acc, left
		symbol, known := r.symbol(ac)
		size, run := int(symbol&15), int(symbol>>4)
		if !known || size == 0 && run != 15 && run != 0 {
			return 0, false
		}
		r.skip(size)
		acc, left = r.acc, r.left
		if symbol == 0 {
			break
		}
		if place += run + 1; place > 64 {
			return 0, false
		}
	}
	r.acc, r.left = acc, left
	return difference, left >= 0
}
