package claims

import (
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// tokenKind says how a token takes part in matching.
type tokenKind uint8

const (
	tokenWord  tokenKind = iota // letters and digits of a script with word spaces
	tokenSign                   // one character of a script without, or one sign
	tokenColon                  // ":" and "：": ends a noun phrase, not the reach of "fits"
	tokenBreak                  // end of a clause
)

// token is one unit of matching: a folded word, a Han character or a sign.
type token struct {
	kind       tokenKind
	start, end int32 // bytes in the raw text
	from, to   int32 // bytes in the folded text
}

// folded is a text taken apart. Case, width, compatibility forms, diacritics,
// apostrophes and hyphens inside words do not matter for matching; every token
// knows its raw bytes.
type folded struct {
	text   []byte
	tokens []token
}

func (f *folded) word(i int) []byte { return f.text[f.tokens[i].from:f.tokens[i].to] }

func (f *folded) reset() {
	f.text, f.tokens = f.text[:0], f.tokens[:0]
}

// latinFolds holds letters whose decomposition does not give the plain letter
// that people type in their place.
var latinFolds = map[rune]string{
	'ß': "ss", 'ẞ': "ss", 'ł': "l", 'Ł': "l", 'ø': "o", 'Ø': "o", 'đ': "d", 'Đ': "d",
	'æ': "ae", 'Æ': "ae", 'œ': "oe", 'Œ': "oe", 'ı': "i", '№': "num",
}

// foldLimit bounds the table of folded letters: all of Latin, Greek and
// Cyrillic in common use lie below it.
const foldLimit = 0x530

var foldTable = sync.OnceValue(func() *[foldLimit]string {
	var table [foldLimit]string
	for r := range rune(foldLimit) {
		table[r] = foldRune(r)
	}
	return &table
})

// foldRune gives the compatibility decomposition in lower case without
// combining marks.
func foldRune(r rune) string {
	if s, ok := latinFolds[r]; ok {
		return s
	}
	var out []rune
	for _, d := range norm.NFKD.String(string(r)) {
		if !unicode.Is(unicode.Mn, d) {
			out = append(out, unicode.ToLower(d))
		}
	}
	return string(out)
}

// invisible reports characters that show nothing and part nothing: soft
// hyphen, zero-width space and joiners, directional marks, word joiner, BOM.
func invisible(r rune) bool {
	return r == 0xAD || r >= 0x200B && r <= 0x200F || r >= 0x202A && r <= 0x202E ||
		r >= 0x2060 && r <= 0x2069 || r == 0xFEFF || r == 0x180E || r >= 0xFE00 && r <= 0xFE0F
}

// unspaced reports letters of scripts written without spaces between words.
func unspaced(r rune) bool {
	return r >= 0x2E80 && unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana)
}

// fold takes raw apart. It reuses f's memory.
func (f *folded) fold(raw string) {
	f.reset()
	table := foldTable()
	open := false // the last token is a word that the next letter continues
	for i := 0; i < len(raw); {
		r, size := rune(raw[i]), 1
		if r >= utf8.RuneSelf {
			r, size = utf8.DecodeRuneInString(raw[i:])
		}
		at := i
		i += size
		switch {
		case r < utf8.RuneSelf && isWordByte(byte(r)):
			if !open {
				f.open(tokenWord, at)
				open = true
			}
			f.extend(table, r, i)
		case r == ' ':
			open = false
		case r < utf8.RuneSelf:
			if (r == '.' || r == ',') && open && isDigitAt(raw, at-1) && isDigitAt(raw, i) {
				f.extend(table, r, i)
				continue
			}
			open = false
			f.sign(table, raw, r, at, i)
		case (r == 'º' || r == '°') && open && f.numeroSign():
			f.extend(table, '№', i)
		case invisible(r) || unicode.Is(unicode.Mn, r):
			if open {
				f.tokens[len(f.tokens)-1].end = int32(i)
			}
		case r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsNumber(r)) && !unspaced(r):
			if !open {
				f.open(tokenWord, at)
				open = true
			}
			f.extend(table, r, i)
		case unspaced(r):
			f.open(tokenSign, at)
			f.extend(table, r, i)
			open = false
		default:
			open = false
			f.sign(table, raw, r, at, i)
		}
	}
}

// numeroSign reports an "n" that an ordinal or degree sign makes "numero"; the
// n is taken back. Read as "no" it would be taken for a negation.
func (f *folded) numeroSign() bool {
	t := &f.tokens[len(f.tokens)-1]
	if string(f.text[t.from:t.to]) != "n" {
		return false
	}
	f.text = f.text[:t.from]
	return true
}

func (f *folded) open(kind tokenKind, at int) {
	n := int32(len(f.text))
	f.tokens = append(f.tokens, token{kind: kind, start: int32(at), end: int32(at), from: n, to: n})
}

func (f *folded) extend(table *[foldLimit]string, r rune, end int) {
	switch {
	case r >= 'A' && r <= 'Z':
		f.text = append(f.text, byte(r)+'a'-'A')
	case r < 0x80:
		f.text = append(f.text, byte(r))
	case r < foldLimit:
		f.text = append(f.text, table[r]...)
	case r >= 0x4E00 && r <= 0x9FFF:
		f.text = utf8.AppendRune(f.text, r)
	default:
		f.text = append(f.text, foldRune(r)...)
	}
	t := &f.tokens[len(f.tokens)-1]
	t.end, t.to = int32(end), int32(len(f.text))
}

// sign adds the token of a character that is no letter, if it has one. Hyphens
// and apostrophes inside words part two tokens and leave none themselves.
func (f *folded) sign(table *[foldLimit]string, raw string, r rune, at, end int) {
	kind := tokenBreak
	switch r {
	case ' ', '\t', '\r', 0xA0, 0x3000, '\'', '’', '‘', 'ʼ', '`', '´', '"', '“', '”', '„', '«', '»', '_', '®', '©', '™', utf8.RuneError:
		return
	case '\n':
		if wrapped(raw, at, end) {
			return
		}
	case '-', '‐', '‑', '–', '—', '−':
		if at > 0 && !spaceAt(raw, at-1) && end < len(raw) && !spaceAt(raw, end) {
			return
		}
	case ':', '：':
		kind = tokenColon
	case '%', '％', '#', '№':
		kind = tokenSign
	case '.':
		if f.abbreviates(raw, end) {
			return
		}
	default:
		if unicode.IsSpace(r) {
			return
		}
	}
	f.open(kind, at)
	f.extend(table, r, end)
}

// abbreviates reports whether the full stop before end belongs to a short word
// inside a sentence: "réf. d'origine", "no. 712345".
func (f *folded) abbreviates(raw string, end int) bool {
	if len(f.tokens) == 0 {
		return false
	}
	t := f.tokens[len(f.tokens)-1]
	next, _ := utf8.DecodeRuneInString(strings.TrimLeft(raw[end:], " "))
	short := t.kind == tokenWord && int(t.end) == end-1 && t.to-t.from <= maxAbbreviation && !isDigitAt(raw, int(t.end)-1)
	return short && (unicode.IsLower(next) || unicode.IsDigit(next))
}

// maxAbbreviation is the length in folded bytes: four Latin or two Cyrillic
// letters and more.
const maxAbbreviation = 4

// widestGap is how many bytes of space before a line end are looked over: more
// is no wrapped line, and a text of nothing but line ends must not take long.
const widestGap = 100

// wrapped reports whether a line end falls inside a sentence: a lower-case
// letter on both sides.
func wrapped(raw string, at, end int) bool {
	before := at
	for before > max(0, at-widestGap) && spaceAt(raw, before-1) {
		before--
	}
	last, _ := utf8.DecodeLastRuneInString(raw[:before])
	for end < len(raw) && (raw[end] == ' ' || raw[end] == '\t' || raw[end] == '\r') {
		end++
	}
	next, _ := utf8.DecodeRuneInString(raw[end:])
	return (unicode.IsLower(last) || last == ',') && unicode.IsLower(next)
}

func isWordByte(b byte) bool {
	return b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' || b >= '0' && b <= '9'
}

func isDigitAt(s string, i int) bool { return i >= 0 && i < len(s) && s[i] >= '0' && s[i] <= '9' }

func spaceAt(s string, i int) bool {
	return s[i] == ' ' || s[i] == '\t' || s[i] == '\n' || s[i] == '\r'
}
