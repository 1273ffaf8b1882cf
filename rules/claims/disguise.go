package claims

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"github.com/mtibben/confusables"
	"golang.org/x/text/unicode/norm"
)

// Disguise is a maker's name written so that a search for it fails.
type Disguise struct {
	Maker      string
	Quote      string // exact text
	Start, End int    // byte offsets in the text
	How        string // one of the How words
}

// Words for Disguise.How.
const (
	HowLookAlike = "look-alike" // letters of another script or shape
	HowInvisible = "invisible"  // zero-width characters inside
	HowSpaced    = "spaced"     // "K e s t w y n"
)

// Bounds of the search for disguises. Shorter names turn up by chance.
const (
	minDisguised = 4 // characters of a maker's name
	maxDisguises = 50
	minPieces    = 3 // pieces a name must be broken into to count as spaced out
)

// disguiseFinder holds the makers' skeletons (Unicode Technical Standard 39,
// section 4: two strings are confusable when their skeletons are equal).
type disguiseFinder struct {
	names []disguisedName
	// starts has the skeletons by their first bytes, and a bit for each start, so
	// that most places of a text are passed by without a look-up.
	starts map[[minSkeleton]byte][]skeletonRef
	filter [1 << filterBits / 64]uint64
}

// skeletonRef is one skeleton of one name.
type skeletonRef struct{ name, form int }

const (
	// minSkeleton is the least number of bytes of a skeleton that is searched
	// for.
	minSkeleton = 4
	filterBits  = 14
)

func filterSlot(start [minSkeleton]byte) uint32 {
	return binary.LittleEndian.Uint32(start[:]) * 2654435761 >> (32 - filterBits) // Knuth's multiplicative hash
}

type disguisedName struct {
	maker    string
	letters  string   // letters only, folded as for matching
	pieces   int      // words of the name as it is properly written
	skeleton [][]byte // of each way to write it
	plain    []string // ways to write it that are no disguise, which most finds are
}

func newDisguiseFinder(makers []Maker) *disguiseFinder {
	d := &disguiseFinder{starts: map[[minSkeleton]byte][]skeletonRef{}}
	for _, m := range makers {
		for _, name := range append([]string{m.Name}, m.Also...) {
			n := disguisedName{maker: m.Name, letters: foldLetters(name), pieces: len(pieces(name))}
			if utf8.RuneCountInString(n.letters) < minDisguised {
				continue
			}
			for _, form := range []string{name, strings.ToUpper(name), strings.ToLower(name)} {
				var q squeezed
				q.squeeze(form)
				same := func(s []byte) bool { return bytes.Equal(s, q.skeleton) }
				if len(q.skeleton) >= minSkeleton && !slices.ContainsFunc(n.skeleton, same) {
					n.skeleton = append(n.skeleton, q.skeleton)
				}
				if n.how(form) == "" {
					n.plain = append(n.plain, form)
				}
			}
			for form, skeleton := range n.skeleton {
				start := [minSkeleton]byte(skeleton)
				d.starts[start] = append(d.starts[start], skeletonRef{len(d.names), form})
				d.filter[filterSlot(start)/64] |= 1 << (filterSlot(start) % 64)
			}
			d.names = append(d.names, n)
		}
	}
	return d
}

// Disguised finds the makers' names written with look-alike letters, with
// invisible characters inside, or with spaces or signs between the letters.
// Names of fewer than four letters are left out. Full-width letters, accents,
// hyphens and case are no disguise.
func (e *Engine) Disguised(text string) []Disguise {
	if len(text) > MaxText {
		text = cutRunes(text, MaxText)
	}
	s, ok := e.squeezes.Get().(*squeezed)
	if !ok {
		s = &squeezed{}
	}
	defer e.squeezes.Put(s)
	s.squeeze(text)
	var found []Disguise
	d := e.disguises
	for i := 0; i+minSkeleton <= len(s.skeleton) && len(found) < maxDisguises; i++ {
		first := [minSkeleton]byte(s.skeleton[i:])
		if slot := filterSlot(first); d.filter[slot/64]&(1<<(slot%64)) == 0 {
			continue
		}
		for _, ref := range d.starts[first] {
			n := &d.names[ref.name]
			skeleton := n.skeleton[ref.form]
			if !bytes.HasPrefix(s.skeleton[i:], skeleton) {
				continue
			}
			start, end, ok := s.raw(i, i+len(skeleton))
			if !ok || !apart(text, start, end) {
				continue
			}
			quote := text[start:end]
			if slices.Contains(n.plain, quote) {
				continue
			}
			if how := n.how(quote); how != "" {
				found = append(found, Disguise{n.maker, quote, start, end, how})
			}
		}
	}
	slices.SortFunc(found, func(a, b Disguise) int {
		return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(b.End, a.End), strings.Compare(a.Maker, b.Maker), strings.Compare(a.How, b.How))
	})
	return slices.Compact(found)
}

// how names the disguise of a name found in the text, "" when it is written
// plainly or merely parted once.
func (n disguisedName) how(quote string) string {
	same := foldLetters(quote) == n.letters
	count := len(pieces(quote))
	switch {
	case strings.ContainsFunc(quote, hidden):
		return HowInvisible
	case same && count >= n.pieces+minPieces-1:
		return HowSpaced
	case !same && (count == n.pieces || count >= n.pieces+minPieces-1):
		return HowLookAlike
	}
	return ""
}

// hidden reports the invisible characters that have no use inside a word. A
// soft hyphen marks where a long word may break.
func hidden(r rune) bool { return r != 0xAD && invisible(r) }

// separator reports what may stand between the letters of a spaced-out name.
func separator(r rune) bool {
	return invisible(r) || unicode.IsSpace(r) || strings.ContainsRune("-‐‑–—_.·•*'’/|", r)
}

// pieces parts a name at its separators, invisible characters apart.
func pieces(s string) []string {
	return strings.FieldsFunc(s, func(r rune) bool { return separator(r) && !invisible(r) })
}

// foldLetters gives the letters and digits of s, folded as for matching.
func foldLetters(s string) string {
	var b strings.Builder
	for _, r := range s {
		if !separator(r) {
			b.WriteString(foldRune(r))
		}
	}
	return b.String()
}

// squeezed is a text's skeleton without separators, with the way back.
type squeezed struct {
	skeleton []byte
	from     []squeezedRune // one per character of the text that is no separator
}

type squeezedRune struct {
	at         int32 // byte in the skeleton
	start, end int32 // bytes in the text
}

// squeeze fills s from text, writing over what it held.
func (s *squeezed) squeeze(text string) {
	s.skeleton, s.from = s.skeleton[:0], slices.Grow(s.from[:0], len(text))
	table := skeletonTable()
	for i := 0; i < len(text); {
		r, size := rune(text[i]), 1
		if r >= utf8.RuneSelf {
			r, size = utf8.DecodeRuneInString(text[i:])
		}
		start := i
		i += size
		if r < foldLimit && table[r].separates || r >= foldLimit && separator(r) {
			continue
		}
		s.from = append(s.from, squeezedRune{int32(len(s.skeleton)), int32(start), int32(i)})
		switch {
		case r < foldLimit:
			s.skeleton = append(s.skeleton, table[r].skeleton...)
		case r >= 0x4E00 && r <= 0x9FFF:
			s.skeleton = append(s.skeleton, text[start:i]...)
		default:
			s.skeleton = append(s.skeleton, computeSkeleton(r)...)
		}
	}
}

// raw maps a range of the skeleton to the text; it fails when the range cuts
// what one character left ("m" leaves "rn").
func (s *squeezed) raw(from, to int) (start, end int, ok bool) {
	find := func(at int) (int, bool) {
		return slices.BinarySearchFunc(s.from, int32(at), func(r squeezedRune, at int32) int { return cmp.Compare(r.at, at) })
	}
	i, ok := find(from)
	if !ok {
		return 0, 0, false
	}
	j, ok := find(to)
	if !ok && to != len(s.skeleton) {
		return 0, 0, false
	}
	// characters that left nothing share the byte of the next one
	for j > i && int(s.from[j-1].at) >= to {
		j--
	}
	return int(s.from[i].start), int(s.from[j-1].end), true
}

// apart reports whether the range is not part of a longer word.
func apart(text string, start, end int) bool {
	before, _ := utf8.DecodeLastRuneInString(text[:start])
	after, _ := utf8.DecodeRuneInString(text[end:])
	part := func(r rune) bool {
		return r != utf8.RuneError && !unspaced(r) && (unicode.IsLetter(r) || unicode.IsDigit(r))
	}
	return !part(before) && !part(after)
}

// skeletonTable holds what squeeze needs of the common scripts.
var skeletonTable = sync.OnceValue(func() *[foldLimit]tableSkeleton {
	var table [foldLimit]tableSkeleton
	for r := range rune(foldLimit) {
		table[r] = tableSkeleton{computeSkeleton(r), separator(r)}
	}
	return &table
})

type tableSkeleton struct {
	skeleton  string
	separates bool
}

// computeSkeleton maps one character to its prototype, in lower case so that
// "KESTWYN" and "Kestwyn" meet, and maps again what case folding brought up.
func computeSkeleton(r rune) string {
	first := confusables.Skeleton(norm.NFKC.String(string(r)))
	return confusables.Skeleton(strings.ToLower(first))
}
