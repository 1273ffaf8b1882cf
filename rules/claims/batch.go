package claims

import (
	"strings"
	"sync"

	"counterfoil/parse/listing"
)

// Batch keeps the results of many listings in a small form: what phrases have in
// common stands once, and of each phrase stays only where it stands. A result
// takes some 60 bytes so, a fifth of what it takes by itself. Different listings
// may be put and asked for at the same time.
type Batch struct {
	listings []kept

	mu        sync.RWMutex
	summaries map[string]*Summary // by summaryKey
	kindOf    map[kind]uint32
	kinds     []kind
}

// kept is the result of one listing.
type kept struct {
	summary *Summary
	phrases []place
}

// kind is what phrases have in common.
type kind struct {
	meaning          *Meaning
	field            listing.Name
	negated, decided bool
	scope, maker     string
}

// place is one phrase.
type place struct {
	kind       uint32 // index in Batch.kinds
	start, end uint32
}

// NewBatch makes room for the results of n listings; those that are never put
// say nothing.
func NewBatch(n int) *Batch {
	b := &Batch{listings: make([]kept, n), summaries: map[string]*Summary{}, kindOf: map[kind]uint32{}}
	silent := new(Summary)
	for i := range b.listings {
		b.listings[i].summary = silent
	}
	return b
}

// Put keeps the result of listing n.
func (b *Batch) Put(n int, r *Result) {
	k := kept{summary: b.shared(&r.Summary)}
	if len(r.Phrases) > 0 {
		k.phrases = make([]place, len(r.Phrases))
	}
	for i := range r.Phrases {
		p := &r.Phrases[i]
		k.phrases[i] = place{b.kindNumber(kind{p.Meaning, p.Field, p.Negated, p.Decided, p.Scope, p.Maker}), uint32(p.Start), uint32(p.End)}
	}
	b.listings[n] = k
}

func (b *Batch) shared(s *Summary) *Summary {
	key := s.key()
	b.mu.RLock()
	held := b.summaries[key]
	b.mu.RUnlock()
	if held != nil {
		return held
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if held = b.summaries[key]; held == nil {
		own := *s
		held = &own
		b.summaries[key] = held
	}
	return held
}

// key tells summaries apart. Names of makers hold no control characters.
func (s *Summary) key() string {
	cut := ""
	if s.Cut {
		cut = "cut"
	}
	return strings.Join(append([]string{s.Claim, s.BrandState, s.Brand, s.Leading, cut}, s.For...), "\x00")
}

func (b *Batch) kindNumber(k kind) uint32 {
	b.mu.RLock()
	n, ok := b.kindOf[k]
	b.mu.RUnlock()
	if ok {
		return n
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if n, ok = b.kindOf[k]; !ok {
		n = uint32(len(b.kinds))
		b.kinds, b.kindOf[k] = append(b.kinds, k), n
	}
	return n
}

// Summary is what the texts of listing n say as a whole. It must not be changed.
func (b *Batch) Summary(n int) *Summary { return b.listings[n].summary }

// Result is what was put for listing n, which must be l, with the quotes taken
// from its fields anew.
func (b *Batch) Result(n int, l *listing.Listing) *Result {
	k := &b.listings[n]
	r := &Result{Summary: *k.summary}
	if len(k.phrases) == 0 {
		return r
	}
	b.mu.RLock()
	kinds := b.kinds
	b.mu.RUnlock()
	r.Phrases = make([]Phrase, len(k.phrases))
	var field listing.Name // of the text at hand
	var text string
	for i, s := range k.phrases {
		of := &kinds[s.kind]
		if of.field != field {
			field, text = of.field, textOf(l, of.field)
		}
		r.Phrases[i] = Phrase{Meaning: of.meaning, Field: of.field, Negated: of.negated, Decided: of.decided, Scope: of.scope, Maker: of.maker,
			Start: int(s.start), End: int(s.end), Quote: text[s.start:s.end]}
	}
	return r
}
