package table

import (
	"fmt"
	"runtime"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/parse/money"
	"counterfoil/parse/values"
)

// built is the listing of one row with what was wrong in it.
type built struct {
	listing  *listing.Listing
	problems []listing.Problem
}

// build makes the listing of one row, with its fields in the room. It shares no
// other state with other rows.
func (t *tableReader) build(r record, room *listing.Room) built {
	l := &listing.Listing{File: t.file, Entry: t.entry, Row: r.line}
	room.Lend(l)
	var problems []listing.Problem
	hints := t.opt.Hints
	for i := range t.plan {
		c := &t.plan[i]
		cell := r.cells[c.index]
		if cell == "" {
			continue
		}
		from := listing.Cell(r.line, c.header)
		problems = append(problems, values.Set(l, c.name, cell, from, &c.hints)...)
		if c.name == listing.Price {
			hints.Currency, hints.DecimalMark = c.hints.Currency, c.hints.DecimalMark
			t.takeFromHeader(l, c, cell)
		}
	}
	if t.photos >= 0 {
		setPhotos(l, r.cells[t.photos], listing.Cell(r.line, t.columns[t.photos].Header))
	}
	problems = append(problems, values.Derive(l, &hints)...)
	l.Key = keyOf(l)
	return built{l, problems}
}

// takeFromHeader sets the tax basis and the currency that the price's header
// states and its cell does not.
func (t *tableReader) takeFromHeader(l *listing.Listing, c *column, cell string) {
	if !l.Has(listing.Price) {
		return
	}
	from := listing.Cell(t.headerLine, c.header)
	if c.tax != "" && !l.Has(listing.PriceTax) {
		l.Set(listing.Field{Name: listing.PriceTax, Value: c.tax, Raw: c.header, From: from})
	}
	if c.currency == "" || l.Has(listing.Currency) {
		return
	}
	if _, named, _ := money.Currency(cell, money.Hints{}); named == "" {
		l.Set(listing.Field{Name: listing.Currency, Value: c.currency, Raw: c.header, From: from})
	}
}

// keyOf names a listing within its table.
func keyOf(l *listing.Listing) string {
	for _, n := range []listing.Name{listing.ListingID, listing.URL} {
		if v := l.Value(n); v != "" {
			return v
		}
	}
	return fmt.Sprintf("%s:%d", l.File, l.Row)
}

// maxPhotos bounds the photos of one cell.
const maxPhotos = 200

// setPhotos reads "a.jpg; b.jpg=serial-plate+box-label". With an empty cell
// the photos are not observed.
func setPhotos(l *listing.Listing, raw string, from listing.Place) {
	var names []string
	for _, entry := range strings.FieldsFunc(raw, func(r rune) bool { return r == ';' || r == '|' || r == '\n' }) {
		name, tags := splitTags(strings.TrimSpace(entry))
		if name == "" || len(names) >= maxPhotos {
			continue
		}
		names = append(names, name)
		photo := listing.Photo{File: name, From: from}
		for _, tag := range tags {
			photo.Views = append(photo.Views, listing.View{Name: strings.ToLower(tag), By: "tag", Text: tag})
		}
		l.Photos = append(l.Photos, photo)
	}
	if len(names) == 0 {
		return
	}
	l.PhotosKnown = true
	l.Set(listing.Field{Name: listing.PhotoFiles, Value: strings.Join(names, "; "), Raw: raw, From: from})
}

// splitTags cuts "a.jpg=serial-plate+box-label". A name may hold an equals
// sign, so only words of letters and hyphens are tags.
func splitTags(entry string) (name string, tags []string) {
	i := strings.LastIndexByte(entry, '=')
	if i < 0 {
		return entry, nil
	}
	for _, tag := range strings.Split(entry[i+1:], "+") {
		tag = strings.TrimSpace(tag)
		if tag == "" || strings.Trim(strings.ToLower(tag), "abcdefghijklmnopqrstuvwxyz-") != "" {
			return entry, nil
		}
		tags = append(tags, tag)
	}
	return strings.TrimSpace(entry[:i]), tags
}

// accept takes a built listing into the result unless its id was seen before.
func (t *tableReader) accept(b built, yield func(*listing.Listing)) {
	t.problems.add(b.problems...)
	id, ok := b.listing.Get(listing.ListingID)
	if ok {
		if first, twice := t.seen[id.Value]; twice {
			t.problems.add(listing.Problem{Severity: listing.Refused, File: t.file, Place: id.From, Field: listing.ListingID, Raw: listing.Shorten(id.Raw, listing.RawLimit),
				Reason: fmt.Sprintf("listing_id %q stands in row %d already", listing.Shorten(id.Value, 60), first), Hint: "give each listing one row"})
			return
		}
		t.seen[id.Value] = b.listing.Row
	}
	t.rows++
	yield(b.listing)
}

// batchRows is how many rows one worker builds at a time.
const batchRows = 256

// pipeline builds rows on all processors and hands them on in the table's
// order.
type pipeline struct {
	t     *tableReader
	yield func(*listing.Listing)
	batch []record
	queue []chan []built // results in order of the batches
	slots chan struct{}
}

func newPipeline(t *tableReader, yield func(*listing.Listing)) *pipeline {
	return &pipeline{t: t, yield: yield, slots: make(chan struct{}, runtime.GOMAXPROCS(0))}
}

func (p *pipeline) add(r record) {
	p.batch = append(p.batch, r)
	if len(p.batch) == batchRows {
		p.send()
	}
}

func (p *pipeline) send() {
	rows := p.batch
	p.batch = make([]record, 0, batchRows)
	done := make(chan []built, 1)
	p.queue = append(p.queue, done)
	p.slots <- struct{}{}
	go func() {
		list := make([]built, len(rows))
		var places listing.Places
		var room listing.Room
		for i, r := range rows {
			list[i] = p.t.build(r, &room)
			room.Pack(list[i].listing, &places)
		}
		<-p.slots
		done <- list
	}()
	for len(p.queue) > 2*cap(p.slots) {
		p.receive()
	}
}

func (p *pipeline) receive() {
	for _, b := range <-p.queue[0] {
		p.t.accept(b, p.yield)
	}
	p.queue = p.queue[1:]
}

func (p *pipeline) finish() {
	if len(p.batch) > 0 {
		p.send()
	}
	for len(p.queue) > 0 {
		p.receive()
	}
}
