package listing

// Room holds the fields of listings that are made and packed one after the other,
// so that each needs none of its own. The zero value is ready for use; it serves one
// goroutine at a time.
type Room struct{ fields []Field }

// Lend lets a listing without fields put them here until [Room.Pack].
func (r *Room) Lend(l *Listing) { l.fields = r.fields }

// Pack packs a listing to which the room was lent. One that stays as it is gets a
// copy.
func (r *Room) Pack(l *Listing, shared *Places) {
	fields := l.fields
	l.Pack(shared)
	if l.fields != nil {
		l.fields = append([]Field(nil), fields...)
	}
	clear(fields)
	r.fields = fields[:0]
}
