package texts

import (
	"slices"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

const (
	maxText    = 64 << 10 // bytes of a text that are compared
	shortWords = 20       // below this number of words characters are compared,
	longWords  = 25       // from this number of words only words are compared
	wordRun    = 3        // words in a shingle
	charRun    = 5        // characters in a shingle
)

// token is one word of a folded text, one character of a script without word
// spaces, or a class token for words with digits.
type token struct {
	hash       uint64
	start, end int32 // in the folded text
	class      bool
	unspaced   bool
}

// folder holds the buffers of one goroutine.
type folder struct {
	keepNumbers bool
	normal      []byte
	text        []byte // folded
	tokens      []token
	set         []uint32
}

// fold cuts the text into tokens.
func (f *folder) fold(text string) {
	if len(text) > maxText {
		text = text[:maxText]
	}
	f.text, f.tokens = f.text[:0], f.tokens[:0]
	if isASCII(text) {
		for i := range len(text) {
			f.text = append(f.text, lowerASCII(text[i]))
		}
	} else {
		f.normal = norm.NFKC.AppendString(f.normal[:0], text)
		for i := 0; i < len(f.normal); {
			r, n := utf8.DecodeRune(f.normal[i:])
			f.text = utf8.AppendRune(f.text, unicode.ToLower(r))
			i += n
		}
	}
	f.cut()
}

func isASCII(s string) bool {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

func lowerASCII(c byte) byte {
	if 'A' <= c && c <= 'Z' {
		c += 'a' - 'A'
	}
	return c
}

const (
	fnvOffset = 14695981039346656037
	fnvPrime  = 1099511628211
	classHash = 0x9d8f1d2b3c4e5f67
)

// cut finds the tokens of the folded text. Class tokens in a row become one.
func (f *folder) cut() {
	start, hash, digits := -1, uint64(fnvOffset), false
	flush := func(end int) {
		if start < 0 {
			return
		}
		t := token{hash: hash, start: int32(start), end: int32(end), class: digits && !f.keepNumbers}
		if t.class {
			t.hash = classHash
		}
		if n := len(f.tokens); t.class && n > 0 && f.tokens[n-1].class {
			f.tokens[n-1].end = t.end
		} else {
			f.tokens = append(f.tokens, t)
		}
		start, hash, digits = -1, fnvOffset, false
	}
	for i := 0; i < len(f.text); {
		c := f.text[i]
		r, n := rune(c), 1
		var kind charKind
		if c < utf8.RuneSelf {
			kind = asciiKind[c]
		} else {
			r, n = utf8.DecodeRune(f.text[i:])
			kind = kindOf(r)
		}
		switch kind {
		case gap:
			flush(i)
		case unspaced:
			flush(i)
			f.tokens = append(f.tokens, token{hash: mix(uint64(r)), start: int32(i), end: int32(i + n), unspaced: true})
		default:
			if start < 0 {
				start = i
			}
			digits = digits || kind == digit
			for _, b := range f.text[i : i+n] {
				hash = (hash ^ uint64(b)) * fnvPrime
			}
		}
		i += n
	}
	flush(len(f.text))
}

type charKind uint8

const (
	gap charKind = iota
	letter
	digit
	unspaced
)

var asciiKind = func() (kinds [utf8.RuneSelf]charKind) {
	for c := range kinds {
		kinds[c] = kindOf(rune(c))
	}
	return kinds
}()

// scripts that are written without spaces between words.
var scripts = []*unicode.RangeTable{unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Thai, unicode.Lao,
	unicode.Khmer, unicode.Myanmar}

func kindOf(r rune) charKind {
	switch {
	case r >= '0' && r <= '9' || r >= utf8.RuneSelf && unicode.IsDigit(r):
		return digit
	case r >= 0x0e00 && unicode.In(r, scripts...):
		return unspaced
	case unicode.IsLetter(r) || unicode.IsMark(r):
		return letter
	}
	return gap
}

// mix is the finaliser of MurmurHash3 (public domain): each bit of the input
// changes half of the output's bits.
func mix(x uint64) uint64 {
	x ^= x >> 33
	x *= 0xff51afd7ed558ccd
	x ^= x >> 33
	x *= 0xc4ceb9fe1a85ec53
	return x ^ x>>33
}

// shingles calls do with the sorted set of the folded text's shingles, as 32-bit
// hashes: within one pair of texts a chance collision is rarer than one in a
// million. A text of shortWords to longWords-1 words has two sets, so that copies
// on either side of a bound still have one in common. A set is valid during the
// call only.
func (f *folder) shingles(do func(set []uint32)) {
	words, chars := 0, 0
	for _, t := range f.tokens {
		if t.unspaced {
			chars++
		} else {
			words++
		}
	}
	spaced := chars <= words
	if spaced && words >= shortWords {
		f.set = f.set[:0]
		f.wordShingles()
		do(f.sorted())
	}
	if !spaced || words < longWords {
		f.set = f.set[:0]
		f.charShingles()
		do(f.sorted())
	}
}

func (f *folder) sorted() []uint32 {
	slices.Sort(f.set)
	f.set = slices.Compact(f.set)
	return f.set
}

// The salts keep shingles of words and of characters apart.
const (
	wordSalt = 0x2545f4914f6cdd1d
	charSalt = 0x5851f42d4c957f2d
)

func (f *folder) wordShingles() {
	for i := wordRun; i <= len(f.tokens); i++ {
		h := uint64(wordSalt)
		for _, t := range f.tokens[i-wordRun : i] {
			h = (h + t.hash) * 0x9e3779b97f4a7c15
			h ^= h >> 29
		}
		f.set = append(f.set, uint32(mix(h)))
	}
}

// charShingles runs over the tokens with one blank between words and none
// between characters of scripts without word spaces.
func (f *folder) charShingles() {
	var window [charRun]rune
	n := 0
	push := func(r rune) {
		copy(window[:], window[1:])
		window[charRun-1] = r
		if n++; n >= charRun {
			h := uint64(charSalt)
			for _, r := range window {
				h = (h + uint64(r) + 1) * 0x9e3779b97f4a7c15
				h ^= h >> 29
			}
			f.set = append(f.set, uint32(mix(h)))
		}
	}
	for i, t := range f.tokens {
		if i > 0 && !(t.unspaced && f.tokens[i-1].unspaced) {
			push(' ')
		}
		if t.class {
			push('#')
			continue
		}
		for _, r := range string(f.text[t.start:t.end]) {
			push(r)
		}
	}
}

// jaccard gives the Jaccard index of two sorted sets, and 0 without looking
// when their sizes alone keep it below the bound.
func jaccard(a, b []uint32, bound float64) float64 {
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(a) == 0 || float64(len(a)) < bound*float64(len(b)) {
		return 0
	}
	both := 0
	for i, j := 0, 0; i < len(a) && j < len(b); {
		x, y := a[i], b[j]
		if x == y {
			both++
		}
		if x <= y {
			i++
		}
		if y <= x {
			j++
		}
	}
	return float64(both) / float64(len(a)+len(b)-both)
}
