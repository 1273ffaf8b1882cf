package values

import (
	"fmt"
	"net/url"
	"regexp"
	"strings"
	"unicode"

	"golang.org/x/text/language"

	"counterfoil/parse/listing"
	"counterfoil/parse/partno"
)

// maxLine and maxProse bound texts, in bytes; longer ones are cut and said so.
const (
	maxLine  = 4 << 10
	maxProse = 256 << 10
)

// line stores a text with its inner space made single.
func (s *setter) line() { s.store(singleSpaced(s.text), maxLine) }

// prose stores a text as it stands.
func (s *setter) prose() { s.store(s.text, maxProse) }

func (s *setter) store(value string, limit int) {
	if len(value) > limit {
		value = strings.ToValidUTF8(value[:limit], "")
		s.problem(listing.Notice, fmt.Sprintf("the text is cut to %d bytes", limit), "")
	}
	s.put(value)
}

func singleSpaced(s string) string {
	for i, r := range s {
		if spacing(r) && (r != ' ' || i > 0 && s[i-1] == ' ') {
			return strings.Join(strings.FieldsFunc(s, spacing), " ")
		}
	}
	return s
}

func spacing(r rune) bool {
	if ' ' < r && r < 0x7F {
		return false
	}
	return unicode.IsSpace(r) || unicode.IsControl(r)
}

// exponent is how a spreadsheet shows a long number that it has rounded.
var exponent = regexp.MustCompile(`^[0-9](?:[.,][0-9]+)?[eE]\+[0-9]{1,2}$`)

// rounded reports a number that a spreadsheet shows so.
func rounded(text string) bool { return strings.Contains(text, "+") && exponent.MatchString(text) }

// identifier stores a number that is a text: leading zeros and all.
func (s *setter) identifier() {
	if rounded(s.text) {
		s.unreadable("the number itself: a spreadsheet has rounded it", "format the column as text and export again")
		return
	}
	s.store(strings.TrimPrefix(singleSpaced(s.text), "'"), maxLine)
}

// gtin stores the digits of a GTIN. Its check digit is not looked at here.
func (s *setter) gtin() {
	digits := s.text
	if !plainDigits(digits) {
		if rounded(s.text) {
			s.identifier()
			return
		}
		digits = partno.Canonical(strings.TrimPrefix(s.text, "'"))
	}
	if !plainDigits(digits) {
		if found := partno.GTINs(s.text); len(found) == 1 {
			digits = found[0].Canonical
		}
	}
	switch {
	case !plainDigits(digits):
		s.unreadable("a GTIN", "")
	case strings.Trim(digits, "0") == "":
		// Zeros fill a form's field; they say nothing.
	case len(digits) != 8 && (len(digits) < 12 || len(digits) > 14):
		s.unreadable("a GTIN: it has not 8, 12, 13 or 14 digits", "leading zeros may have been lost; format the column as text")
	default:
		s.put(digits)
	}
}

// numbers stores a list of part numbers.
func (s *setter) numbers() {
	if rounded(s.text) {
		s.identifier()
		return
	}
	var list []string
	seen := map[string]bool{}
	for _, part := range strings.FieldsFunc(s.text, separates) {
		for _, number := range splitSlash(part) {
			number = singleSpaced(strings.TrimSpace(number))
			key := partno.Canonical(number)
			if key == "" || seen[key] {
				continue
			}
			seen[key] = true
			list = append(list, number)
		}
	}
	if len(list) == 0 {
		s.unreadable("a list of numbers", "")
		return
	}
	s.put(strings.Join(list, "; "))
}

// separates tells the characters between the numbers of a list.
func separates(r rune) bool {
	switch r {
	case ';', ',', '|', '\n', '\r', '\t', '，', '；', '、':
		return true
	}
	return false
}

// splitSlash cuts "1234567/1234568" but not a number with a slash inside, such
// as "12345/1".
func splitSlash(s string) []string {
	if !strings.Contains(s, "/") {
		return []string{s}
	}
	parts := strings.Split(s, "/")
	for _, p := range parts {
		if len(partno.Canonical(p)) < 5 {
			return []string{s}
		}
	}
	return parts
}

// fileList stores file names; a comma may be part of a name.
func (s *setter) fileList() { s.list(";|\n\r") }

func (s *setter) viewList() {
	s.text = strings.ToLower(s.text)
	s.list(";,|+\n\r")
}

func (s *setter) list(separators string) {
	var list []string
	for _, part := range strings.FieldsFunc(s.text, func(r rune) bool { return strings.ContainsRune(separators, r) }) {
		if part = strings.TrimSpace(part); part != "" {
			list = append(list, part)
		}
	}
	if len(list) > 0 {
		s.put(strings.Join(list, "; "))
	}
}

// address stores a web address; it is never opened.
func (s *setter) address() {
	u, err := url.Parse(s.text)
	if err != nil || strings.ContainsFunc(s.text, unicode.IsSpace) {
		s.unreadable("a web address", "")
		return
	}
	switch strings.ToLower(u.Scheme) {
	case "", "http", "https", "file":
		s.store(s.text, maxLine)
	default:
		s.unreadable("a web address", "")
	}
}

func (s *setter) language() {
	tag, err := language.Parse(s.text)
	if err != nil {
		s.unreadable("a language tag", "write a BCP 47 tag, such as de or en-GB")
		return
	}
	s.put(tag.String())
}
