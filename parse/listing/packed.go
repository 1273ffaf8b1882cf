package listing

import "strings"

// packed is the small form of a listing's fields, for batches of which many
// thousand are held at once: one text with all values and raw texts in it, and
// for each field where they stand. It takes a tenth of what a slice of [Field]
// takes.
type packed struct {
	text  string
	slots []slot  // in the order of the fields
	at    []Place // what slots refer to; shared by listings of a table
	row   int32   // of all places
}

// slot is one packed field. The offsets are bytes in packed.text.
type slot struct {
	value, raw       uint16
	valueLen, rawLen uint16
	place            uint16 // index in packed.at
}

// Places collects the places of the listings of one table, whose cells differ
// only in the row, so that each column's is held once. The zero value is ready
// for use; it serves one goroutine at a time.
type Places struct {
	list []Place
	of   map[Place]uint16
}

// maxPlaces bounds the places that listings share: where every listing has
// places of its own, sharing saves nothing.
const maxPlaces = 1 << 12

func (p *Places) index(at Place) uint16 {
	at.Row = 0
	if i, ok := p.of[at]; ok {
		return i
	}
	if p.of == nil {
		p.of = map[Place]uint16{}
	}
	i := uint16(len(p.list))
	p.list, p.of[at] = append(p.list, at), i
	return i
}

// Pack puts the listing's fields into their small form. Nothing of them
// changes; setting a field unpacks them. A listing with texts of more than
// maxPacked bytes, or fields from several rows, stays as it is. shared may be
// nil.
func (l *Listing) Pack(shared *Places) {
	if len(l.fields) == 0 {
		return
	}
	own := shared == nil || len(shared.list) > maxPlaces
	if own {
		shared = &Places{}
	}
	size, row := 0, l.fields[0].From.Row
	for i := range l.fields {
		if l.fields[i].From.Row != row {
			return
		}
		size += len(l.fields[i].Raw)
		if !strings.Contains(l.fields[i].Raw, l.fields[i].Value) {
			size += len(l.fields[i].Value)
		}
	}
	if size > maxPacked {
		return
	}
	var text strings.Builder
	text.Grow(size)
	slots := make([]slot, len(l.fields))
	for i := range l.fields {
		f := &l.fields[i]
		s := slot{raw: uint16(text.Len()), rawLen: uint16(len(f.Raw)), valueLen: uint16(len(f.Value)), place: shared.index(f.From)}
		text.WriteString(f.Raw)
		if at := strings.Index(f.Raw, f.Value); at >= 0 {
			s.value = s.raw + uint16(at)
		} else {
			s.value = uint16(text.Len())
			text.WriteString(f.Value)
		}
		slots[i] = s
	}
	l.packed = packed{text: text.String(), slots: slots, at: shared.list, row: row}
	if own {
		l.packed.at = exact(shared.list)
	}
	l.fields, l.Photos, l.Disagreements = nil, exact(l.Photos), exact(l.Disagreements)
}

// exact is a list without the room that it grew into.
func exact[T any](list []T) []T {
	if len(list) == 0 || len(list) == cap(list) {
		return list
	}
	return append(make([]T, 0, len(list)), list...)
}

// maxPacked keeps the offsets within 16 bits.
const maxPacked = 1<<16 - 1

func (p *packed) value(i int) string {
	s := &p.slots[i]
	return p.text[s.value:][:s.valueLen]
}

func (p *packed) field(n Name, i int) Field {
	s := &p.slots[i]
	from := p.at[s.place]
	from.Row = p.row
	return Field{Name: n, Value: p.value(i), Raw: p.text[s.raw:][:s.rawLen], From: from}
}

// unpack makes the fields a slice again.
func (l *Listing) unpack() {
	if len(l.packed.slots) == 0 {
		return
	}
	l.fields = l.Fields()
	l.packed = packed{}
}
