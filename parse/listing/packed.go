package listing

import "strings"

// packed is the small form of a listing's fields, for batches of which many
// thousand are held at once: one text, for each field a slot, then all raw texts
// and values in the order of the fields. It takes a tenth of what a slice of
// [Field] takes.
type packed struct {
	text string
	at   *[]Place // what slots refer to, without their row; shared by listings of a table
}

// A slot is three numbers of 16 bits, low byte first: where the field's raw text
// starts in packed.text, where its value does, which is the raw text's end, and
// the number of its place. A value that is equal to the raw text does not stand
// again; valueIsRaw is set then.
const (
	slotSize   = 6
	valueIsRaw = 1 << 15
)

// Places collects the places of the listings of one table, whose cells differ
// only in the row, so that each column's is held once. The zero value is ready
// for use; it serves one goroutine at a time.
type Places struct {
	list *[]Place // never changed: a longer list is one of its own
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
		p.of, p.list = map[Place]uint16{}, new([]Place)
	}
	i := uint16(len(*p.list))
	longer := append(*p.list, at)
	p.list, p.of[at] = &longer, i
	return i
}

// Pack puts the listing's fields into their small form. Nothing of them
// changes; setting a field unpacks them. A listing with texts of more than
// maxPacked bytes, or fields from other rows than its own, stays as it is. shared
// may be nil.
func (l *Listing) Pack(shared *Places) {
	if len(l.fields) == 0 {
		return
	}
	if shared == nil || len(shared.of) > maxPlaces {
		shared = &Places{}
	}
	size := slotSize * len(l.fields)
	for i := range l.fields {
		f := &l.fields[i]
		if int(f.From.Row) != l.Row {
			return
		}
		size += len(f.Raw)
		if f.Value != f.Raw {
			size += len(f.Value)
		}
	}
	if size > maxPacked {
		return
	}
	var text strings.Builder
	text.Grow(size)
	next := slotSize * len(l.fields)
	for i := range l.fields {
		f := &l.fields[i]
		place, end := shared.index(f.From), next+len(f.Raw)
		writeNumbers(&text, next, end)
		if next = end; f.Value == f.Raw {
			place |= valueIsRaw
		} else {
			next += len(f.Value)
		}
		writeNumbers(&text, int(place))
	}
	for i := range l.fields {
		f := &l.fields[i]
		text.WriteString(f.Raw)
		if f.Value != f.Raw {
			text.WriteString(f.Value)
		}
	}
	l.packed = packed{text: text.String(), at: shared.list}
	l.fields, l.Photos, l.Disagreements = nil, exact(l.Photos), exact(l.Disagreements)
}

func writeNumbers(to *strings.Builder, numbers ...int) {
	for _, n := range numbers {
		to.WriteByte(byte(n))
		to.WriteByte(byte(n >> 8))
	}
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

func (p *packed) number(at int) int { return int(p.text[at]) | int(p.text[at+1])<<8 }

// slot gives the bounds of a field's raw text, of its value, and the number of
// its place. last reports whether it is the last field.
func (p *packed) slot(i int, last bool) (raw, rawEnd, value, valueEnd, place int) {
	at := slotSize * i
	raw, rawEnd, place = p.number(at), p.number(at+2), p.number(at+4)
	if place&valueIsRaw != 0 {
		return raw, rawEnd, raw, rawEnd, place &^ valueIsRaw
	}
	valueEnd = len(p.text)
	if !last {
		valueEnd = p.number(at + slotSize)
	}
	return raw, rawEnd, rawEnd, valueEnd, place
}

func (p *packed) value(i int, last bool) string {
	_, _, value, end, _ := p.slot(i, last)
	return p.text[value:end]
}

func (l *Listing) unpacked(n Name, i int) Field {
	p := &l.packed
	raw, rawEnd, value, valueEnd, place := p.slot(i, i+1 == l.Len())
	from := (*p.at)[place]
	from.Row = int32(l.Row)
	return Field{Name: n, Value: p.text[value:valueEnd], Raw: p.text[raw:rawEnd], From: from}
}

// unpack makes the fields a slice again.
func (l *Listing) unpack() {
	if l.packed.text == "" {
		return
	}
	l.fields = l.Fields()
	l.packed = packed{}
}
