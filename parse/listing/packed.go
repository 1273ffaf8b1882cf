package listing

import (
	"slices"
	"strings"
)

// packed is the small form of a listing's fields, for batches of which many
// thousand are held at once. It takes a tenth of what a slice of [Field] takes.
//
// The text starts with numbers of 16 bits, low byte first, which are offsets in it:
// where the first text starts, then where each ends. The texts that follow are those
// of the fields in order: of each the raw one and, if it is another, the value.
type packed struct {
	text  string
	shape *shape // nil for a listing that is not packed
}

// shape is what listings of one table mostly have in common.
type shape struct {
	at    *[]Place // what slots refer to, without their row
	slots []slot   // by field
	texts int
}

type slot struct {
	place      uint16 // index in shape.at
	raw, value uint8  // which texts they are; the same when they are equal
}

// Places collects the places and shapes of the listings of one table, whose cells
// differ only in the row, so that each is held once. The zero value is ready for
// use; it serves one goroutine at a time.
type Places struct {
	list   *[]Place // never changed: a longer list is one of its own
	of     map[Place]uint16
	shapes map[string]*shape // by their slots
	slots  []slot            // scratch
	key    []byte            // scratch
}

// maxPlaces bounds the places and the shapes that listings share: where every
// listing has its own, sharing saves nothing.
const maxPlaces = 1 << 12

func (p *Places) index(at Place) uint16 {
	at.Row = 0
	if i, ok := p.of[at]; ok {
		return i
	}
	if p.of == nil {
		p.of, p.list = map[Place]uint16{}, new([]Place)
	}
	i := uint16(len(*p.list))
	longer := append(*p.list, at)
	p.list, p.of[at] = &longer, i
	return i
}

// shapeOf gives the shape of fields.
func (p *Places) shapeOf(fields []Field) *shape {
	p.slots, p.key = p.slots[:0], p.key[:0]
	n := 0
	for i := range fields {
		s := slot{place: p.index(fields[i].From), raw: uint8(n), value: uint8(n)}
		if fields[i].Value != fields[i].Raw {
			s.value++
		}
		n = int(s.value) + 1
		p.slots = append(p.slots, s)
		p.key = append(p.key, byte(s.place), byte(s.place>>8), s.value)
	}
	if held := p.shapes[string(p.key)]; held != nil {
		return held
	}
	made := &shape{at: p.list, slots: slices.Clone(p.slots), texts: n}
	if p.shapes == nil {
		p.shapes = map[string]*shape{}
	}
	p.shapes[string(p.key)] = made
	return made
}

// Pack puts the listing's fields into their small form. Nothing of them
// changes; setting a field unpacks them. A listing with texts of more than
// maxPacked bytes, or fields from other rows than its own, stays as it is. shared
// may be nil.
func (l *Listing) Pack(shared *Places) {
	if len(l.fields) == 0 {
		return
	}
	size := numberSize * (1 + 2*len(l.fields)) // at most
	for i := range l.fields {
		f := &l.fields[i]
		if int(f.From.Row) != l.Row {
			return
		}
		if size += len(f.Raw); f.Value != f.Raw {
			size += len(f.Value)
		}
	}
	if size > maxPacked {
		return
	}
	own := shared == nil || len(shared.of) > maxPlaces || len(shared.shapes) > maxPlaces
	if own {
		shared = &Places{}
	}
	shape := shared.shapeOf(l.fields)
	if own {
		*shape.at = exact(*shape.at)
	}
	var text strings.Builder
	text.Grow(size - numberSize*(2*len(l.fields)-shape.texts))
	end := numberSize * (1 + shape.texts)
	writeNumber(&text, end)
	for i, s := range shape.slots {
		end += len(l.fields[i].Raw)
		writeNumber(&text, end)
		if s.value != s.raw {
			end += len(l.fields[i].Value)
			writeNumber(&text, end)
		}
	}
	for i, s := range shape.slots {
		text.WriteString(l.fields[i].Raw)
		if s.value != s.raw {
			text.WriteString(l.fields[i].Value)
		}
	}
	l.packed = packed{text: text.String(), shape: shape}
	l.fields, l.Photos, l.Disagreements = nil, exact(l.Photos), exact(l.Disagreements)
}

// numberSize is the size of an offset in bytes, and maxPacked keeps to it.
const (
	numberSize = 2
	maxPacked  = 1<<16 - 1
)

func writeNumber(to *strings.Builder, n int) {
	to.WriteByte(byte(n))
	to.WriteByte(byte(n >> 8))
}

// textAt gives the n-th text.
func (p *packed) textAt(n uint8) string {
	at := numberSize * int(n)
	bounds := p.text[at : at+2*numberSize]
	return p.text[int(bounds[0])|int(bounds[1])<<8 : int(bounds[2])|int(bounds[3])<<8]
}

func (p *packed) value(i int) string { return p.textAt(p.shape.slots[i].value) }

func (l *Listing) unpacked(n Name, i int) Field {
	p := &l.packed
	s := p.shape.slots[i]
	f := Field{Name: n, Value: p.textAt(s.value), Raw: p.textAt(s.raw), From: (*p.shape.at)[s.place]}
	f.From.Row = int32(l.Row)
	return f
}

// unpack makes the fields a slice again.
func (l *Listing) unpack() {
	if l.packed.shape == nil {
		return
	}
	l.fields = l.Fields()
	l.packed = packed{}
}

// exact is a list without the room that it grew into.
func exact[T any](list []T) []T {
	if len(list) == 0 || len(list) == cap(list) {
		return list
	}
	return append(make([]T, 0, len(list)), list...)
}
