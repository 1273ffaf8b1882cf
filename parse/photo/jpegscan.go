package photo

// scanPart is a component as one scan reads it.
type scanPart struct {
	*component
	dcCodes, acCodes *huffman
	before           int // the DC term of the block before
}

// coefficients is what a scan holds of each coefficient (G.1.1.1): the places from
// first to last, with the low bits left to later scans; a refining scan gives
// one bit more.
type coefficients struct {
	first, last, low int
	refining         bool
}

// scan reads one scan (B.2.3) and the marker that ends it.
func (d *dcReader) scan(body []byte) bool {
	if len(d.components) == 0 || len(body) < 6 || len(body) != 4+2*int(body[0]) {
		return false
	}
	var parts []*scanPart
	for i := range int(body[0]) {
		p := d.part(body[1+2*i], body[2+2*i])
		if p == nil {
			return false
		}
		for _, other := range parts {
			if other.component == p.component {
				return false
			}
		}
		parts = append(parts, p)
	}
	if len(parts) != 1 && len(parts) != len(d.components) {
		return false
	}
	tail := body[len(body)-3:]
	want := coefficients{first: int(tail[0]), last: int(tail[1]), low: int(tail[2] & 15), refining: tail[2]>>4 != 0}
	if !d.allowed(want, int(tail[2]>>4), parts) {
		return false
	}
	d.bits.acc, d.bits.left = 0, 0
	if len(parts) == 1 {
		return d.single(parts[0], want)
	}
	return d.interleaved(parts, want)
}

func (d *dcReader) part(id, tables byte) *scanPart {
	dc, ac := tables>>4, tables&15
	if dc > 3 || ac > 3 || !d.progressive && (dc > 1 || ac > 1) {
		return nil
	}
	for _, c := range d.components {
		if c.id == id {
			return &scanPart{component: c, dcCodes: d.codes[0][dc], acCodes: d.codes[1][ac]}
		}
	}
	return nil
}

// allowed checks that a scan is of a kind that is read here, and that it has the
// code tables it needs.
func (d *dcReader) allowed(want coefficients, high int, parts []*scanPart) bool {
	for _, p := range parts {
		switch {
		case !d.progressive:
			if p.seen || p.dcCodes == nil || p.acCodes == nil {
				return false
			}
			p.seen = true
		case want.first == 0:
			if want.refining != p.seen || !want.refining && p.dcCodes == nil {
				return false
			}
			p.seen = true
		case p.acCodes == nil:
			return false
		}
	}
	if !d.progressive {
		return want == coefficients{last: 63}
	}
	if want.refining && high != want.low+1 || want.low > 13 {
		return false
	}
	if want.first == 0 {
		return want.last == 0
	}
	return want.first <= want.last && want.last <= 63 && len(parts) == 1
}

// interleaved reads the blocks of all components unit by unit (A.2.3).
func (d *dcReader) interleaved(parts []*scanPart, want coefficients) bool {
	run, units := 0, 0
	for y := range d.down {
		for x := range d.across {
			for _, p := range parts {
				for v := range p.v {
					at := (y*p.v+v)*p.stride + x*p.h
					for h := range p.h {
						if !d.block(p, at+h, want, &run) {
							return false
						}
					}
				}
			}
			units++
			if !d.restarted(units, d.across*d.down, parts, run) {
				return false
			}
		}
	}
	return d.ended(run)
}

// single reads the blocks of one component line by line, without those that are
// in the picture's last units but show nothing of it (A.2.2).
func (d *dcReader) single(p *scanPart, want coefficients) bool {
	if d.restart > 0 && p.h*p.v > 1 {
		return false // image/jpeg counts these units otherwise than A.2.2
	}
	run, parts := 0, []*scanPart{p}
	for y := range p.rows {
		for x := range p.cols {
			if !d.block(p, y*p.stride+x, want, &run) ||
				!d.restarted(y*p.cols+x+1, p.rows*p.cols, parts, run) {
				return false
			}
		}
	}
	return d.ended(run)
}

// restarted reads the restart marker that is due after so many units.
func (d *dcReader) restarted(units, of int, parts []*scanPart, run int) bool {
	if d.restart == 0 || units%d.restart != 0 || units == of {
		return true
	}
	marker, ok := d.bits.finish()
	for _, p := range parts {
		p.before = 0
	}
	return ok && run == 0 && int(marker) == 0xD0+(units/d.restart-1)%8
}

// ended checks that the scan is used up and steps back onto the marker behind it.
func (d *dcReader) ended(run int) bool {
	_, ok := d.bits.finish()
	d.bits.at -= 2
	return ok && run == 0
}

// block reads what a scan holds of one block. run counts the blocks to come that
// hold no more coefficients of the band (G.1.2.2).
func (d *dcReader) block(p *scanPart, at int, want coefficients, run *int) bool {
	switch {
	case !d.progressive:
		difference, ok := d.bits.sequential(p.dcCodes, p.acCodes)
		return ok && p.keep(at, difference, 0)
	case want.first == 0 && want.refining:
		p.dc[at] |= int32(d.bits.take(1)) << want.low
		return d.bits.left >= 0
	case want.first == 0:
		return d.firstDC(p, at, want.low)
	case want.refining:
		return d.refineAC(p, &p.nonzero[at], want, run)
	}
	return d.firstAC(p, &p.nonzero[at], want, run)
}

func (d *dcReader) firstDC(p *scanPart, at, low int) bool {
	size, ok := d.bits.symbol(p.dcCodes)
	if !ok || size > 11 {
		return false
	}
	return p.keep(at, d.bits.extended(int(size)), low) && d.bits.left >= 0
}

// keep stores the DC term of a block.
func (p *scanPart) keep(at, difference, low int) bool {
	p.before += difference
	if p.before < -1<<15 || p.before > 1<<15 {
		return false
	}
	p.dc[at] = int32(p.before) << low
	return true
}

// firstAC notes which coefficients of the band are not zero.
func (d *dcReader) firstAC(p *scanPart, nonzero *uint64, want coefficients, run *int) bool {
	if *run > 0 {
		*run--
		return true
	}
	for k := want.first; k <= want.last; k++ {
		symbol, ok := d.bits.symbol(p.acCodes)
		zeros, size := int(symbol>>4), int(symbol&15)
		if !ok {
			return false
		}
		if size == 0 && zeros < 15 {
			*run = 1<<zeros + d.bits.take(zeros) - 1
			return d.bits.left >= 0
		}
		if k += zeros; k > want.last {
			return false
		}
		if size > 0 {
			d.bits.take(size)
			*nonzero |= 1 << k
		}
	}
	return d.bits.left >= 0
}

// refineAC reads one more bit of each coefficient that is not zero, and which of
// the others become so (G.1.2.3).
func (d *dcReader) refineAC(p *scanPart, nonzero *uint64, want coefficients, run *int) bool {
	k := want.first
	for ; *run == 0 && k <= want.last; k++ {
		symbol, ok := d.bits.symbol(p.acCodes)
		zeros, size := int(symbol>>4), int(symbol&15)
		if !ok || size > 1 {
			return false
		}
		if size == 0 && zeros < 15 {
			*run = 1<<zeros + d.bits.take(zeros)
			break
		}
		d.bits.take(size)
		if k = d.passRefined(*nonzero, k, want.last, zeros); k > want.last {
			return false
		}
		*nonzero |= uint64(size) << k
	}
	if *run > 0 {
		*run--
		d.passRefined(*nonzero, k, want.last, 64)
	}
	return d.bits.left >= 0
}

// passRefined passes over a bit for each nonzero coefficient until so many zeros
// are passed too, and gives the place of the next zero.
func (d *dcReader) passRefined(nonzero uint64, k, last, zeros int) int {
	for ; k <= last; k++ {
		if nonzero>>k&1 == 1 {
			d.bits.take(1)
			continue
		}
		if zeros == 0 {
			break
		}
		zeros--
	}
	return k
}
