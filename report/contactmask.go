package report

import (
	"cmp"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"counterfoil/parse/listing"
	"counterfoil/rules"
	"counterfoil/rules/sellers"
)

// ContactMask hides contacts in texts: those known of the listing and of what its
// findings quote wherever they stand, and those that a text itself shows.
type ContactMask struct {
	hide    func(sellers.Kind, string) string
	country string
	known   []replacement // longest first
	phones  []phone
}

// phone is a known telephone number by its digits.
type phone struct{ digits, masked string }

type replacement struct{ from, to string }

// least is the length in bytes from which a known contact is looked for: less
// would hit words that are none.
const least = 5

// NewContactMask knows the contacts of a listing. hide writes what stands in a
// contact's place; nil for [Hidden].
func NewContactMask(res *rules.Result, j *rules.Judged, hide func(sellers.Kind, string) string) *ContactMask {
	if hide == nil {
		hide = Hidden
	}
	m := &ContactMask{hide: hide, country: j.Listing.Value(listing.ShipsFrom)}
	if res.Facts.Sellers != nil {
		for _, c := range res.Facts.Sellers.Contacts(j.N) {
			m.learn(c.Kind, c.Canonical, c.Raw)
		}
		if j.N < len(res.Facts.SellerKeys) {
			for _, link := range res.Facts.Sellers.SharedContacts(res.Facts.SellerKeys[j.N]) {
				for _, q := range link.Evidence {
					m.learn(link.Kind, link.Value, q.Raw)
				}
			}
		}
	}
	slices.SortStableFunc(m.known, func(a, b replacement) int {
		return cmp.Or(cmp.Compare(len(b.from), len(a.from)), cmp.Compare(a.from, b.from))
	})
	return m
}

func (m *ContactMask) learn(kind sellers.Kind, canonical, raw string) {
	if !kind.IsContact() {
		return // who offers the part must stay legible
	}
	if digits := digitsOf(canonical); kind == sellers.Phone && len(digits) >= leastDigits {
		m.phones = append(m.phones, phone{digits, m.hide(kind, canonical)})
	}
	for _, from := range []string{canonical, raw} {
		if len(from) >= least {
			m.known = append(m.known, replacement{from, m.hide(kind, canonical)})
		}
	}
}

// Hidden masks a contact. VAT and register numbers, which reports otherwise
// print as public, are masked like account numbers here: they name a person
// where the trader is one.
func Hidden(kind sellers.Kind, canonical string) string {
	if kind == sellers.VAT || kind == sellers.Register {
		kind = sellers.IBAN
	}
	return sellers.Mask(kind, canonical)
}

// Text hides the contacts of a text.
func (m *ContactMask) Text(s string) string {
	for _, r := range m.known {
		s = replaceWord(s, r.from, r.to)
	}
	if m.phones != nil {
		s = digitRun.ReplaceAllStringFunc(s, m.phone)
	}
	var b strings.Builder
	for line := range strings.Lines(s) {
		for len(line) > 0 {
			n := pieceOf(line)
			if n == len(s) {
				return m.piece(s)
			}
			b.WriteString(m.piece(line[:n]))
			line = line[n:]
		}
	}
	return b.String()
}

// digitRun is what may be a telephone number, however it is grouped.
var digitRun = regexp.MustCompile(`\+?[0-9][0-9 ()./\x{2013}-]{5,28}[0-9]`)

// leastDigits is the number of digits from which a number is a telephone
// number rather than a price.
const leastDigits = 7

// phone masks a run of digits that is a known number, with its country's code
// or without.
func (m *ContactMask) phone(run string) string {
	own := strings.TrimLeft(digitsOf(run), "0")
	if len(own) < leastDigits {
		return run
	}
	for _, p := range m.phones {
		if strings.HasSuffix(p.digits, own) && len(p.digits)-len(own) <= 3 || strings.HasSuffix(own, strings.TrimLeft(p.digits, "0")) && len(own)-len(p.digits) <= 3 {
			return p.masked
		}
	}
	return run
}

func digitsOf(s string) string {
	return strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return r
		}
		return -1
	}, s)
}

// pieceOf is the length of the beginning of a line that is searched at once,
// cut at a blank: a search reads 64 KiB and finds 64 contacts at most.
func pieceOf(line string) int {
	const limit = 4096
	if len(line) <= limit {
		return len(line)
	}
	if at := strings.LastIndexByte(line[:limit], ' '); at > limit/2 {
		return at + 1
	}
	n := limit
	for n > 0 && !utf8.RuneStart(line[n]) {
		n--
	}
	return cmp.Or(n, limit)
}

// mostFound is the number of contacts that one search gives at most. A piece
// of text has room for a few times as many.
const mostFound, mostSearches = 64, 16

func (m *ContactMask) piece(s string) string {
	for range mostSearches {
		found := sellers.Find(s, listing.Description, m.country, sellers.Options{})
		for i := len(found) - 1; i >= 0; i-- {
			c := found[i]
			s = s[:c.Start] + m.hide(c.Kind, c.Canonical) + s[c.End:]
		}
		if len(found) < mostFound {
			break
		}
	}
	return s
}

// replaceWord replaces what stands between characters other than letters and
// digits, letter case apart.
func replaceWord(s, from, to string) string {
	folded, want := lower(s), lower(from)
	var b strings.Builder
	done := 0
	for at := 0; ; {
		i := strings.Index(folded[at:], want)
		if i < 0 {
			return b.String() + s[done:]
		}
		start, end := at+i, at+i+len(want)
		before, _ := utf8.DecodeLastRuneInString(s[:start])
		after, _ := utf8.DecodeRuneInString(s[end:])
		if isWord(before) || isWord(after) {
			at = start + 1
			continue
		}
		b.WriteString(s[done:start])
		b.WriteString(to)
		at, done = end, end
	}
}

func isWord(r rune) bool {
	return r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsDigit(r))
}

// lower lowers ASCII letters only, so that all offsets stay.
func lower(s string) string {
	out := []byte(s)
	for i, c := range out {
		if c >= 'A' && c <= 'Z' {
			out[i] = c + 'a' - 'A'
		}
	}
	return string(out)
}
