package sellers

import "strings"

// phone reads a phone number at i and gives its end, or i when there is none.
func (s *search) phone(i int, labelled bool) int {
	digits, end, ok := s.phoneDigits(i)
	if !ok || isDate(s.text[i:end]) {
		return i
	}
	international := s.text[i] == '+' || strings.HasPrefix(s.text[i:], "(+")
	if rest, ok := strings.CutPrefix(digits, "00"); ok && !international && labelled {
		if _, known := callingCode(rest); known {
			digits, international = rest, true
		}
	}
	area := s.text[i] == '(' && strings.HasPrefix(digits, "0") && len(digits) >= 9
	if international || labelled || area && !s.afterNumberLabel(i) {
		if number, ok := canonicalPhone(digits, international, s.country); ok {
			s.keep(Phone, number, i, end, NotTested)
			return end
		}
	}
	return i
}

// phoneDigits collects 7 to 16 digits that start at i, single separators between
// them. A "(0)" after the first digits, the trunk zero, is left out.
func (s *search) phoneDigits(i int) (digits string, end int, ok bool) {
	var b strings.Builder
	open := false
	for j := i; j < len(s.text); {
		c := s.text[j]
		switch {
		case isDigit(c):
			b.WriteByte(c)
			j++
			end = j
			if b.Len() > 16 {
				return "", 0, false
			}
			continue
		case c == '+' && b.Len() == 0 && (j == i || open):
			j++
			continue
		case c == '(' && !open && b.Len() < 6:
			if strings.HasPrefix(s.text[j:], "(0)") && b.Len() > 0 {
				j += len("(0)")
				continue
			}
			open = true
			j++
			continue
		case c == ')' && open:
			open = false
			j++
			continue
		}
		n := separator(s.text[j:])
		if n == 0 || b.Len() == 0 {
			break
		}
		j += n
	}
	if b.Len() < 7 || end < len(s.text) && s.wordAt(end) {
		return "", 0, false
	}
	return b.String(), end, true
}

// separator gives the length of what may stand between two digits: one blank,
// dot, hyphen, dash or slash, or a hyphen between blanks; 0 when none stands at
// the start of s with a digit or parenthesis after it.
func separator(s string) int {
	for _, sep := range []string{" - ", " – ", " ", "-", ".", "/", "\u00a0", "\u2009", "\u202f", "‐", "‑", "–"} {
		if rest, ok := strings.CutPrefix(s, sep); ok && rest != "" && (isDigit(rest[0]) || rest[0] == '(' || rest[0] == ')') {
			return len(sep)
		}
	}
	return 0
}

// isDate reports whether a text has the form of a date: 2024-05-01, 01.05.2024,
// 1/5/2024.
func isDate(s string) bool {
	parts := strings.FieldsFunc(s, func(r rune) bool { return r == '.' || r == '-' || r == '/' })
	if len(parts) != 3 || strings.ContainsAny(s, " +(") {
		return false
	}
	return len(parts[0]) == 4 && len(parts[1]) <= 2 && len(parts[2]) <= 2 ||
		len(parts[0]) <= 2 && len(parts[1]) <= 2 && len(parts[2]) == 4
}

// numberLabels stand before part numbers and serials.
var numberLabels = []string{"part", "oe", "oem", "ref", "art", "artikel", "sku", "serial", "s/n", "sn", "p/n", "pn", "номер", "no", "nr"}

func (s *search) afterNumberLabel(i int) bool {
	before := strings.TrimRight(s.lower[max(0, i-lookBack):i], " \t:.=#№-(")
	for _, l := range numberLabels {
		if endsInWord(before, l) {
			return true
		}
	}
	return false
}

// canonicalPhone brings digits into E.164: plus sign, country code and national
// number, 8 to 15 digits in all. Without a country the national digits are given
// as they are.
func canonicalPhone(digits string, international bool, country string) (string, bool) {
	plan, known := plans[country]
	if !international && known {
		national, ok := strings.CutPrefix(digits, plan.trunk)
		switch {
		case plan.trunk != "" && ok:
			digits = plan.code + national
		case len(digits) >= 11 && strings.HasPrefix(digits, plan.code):
		default:
			digits = plan.code + digits
		}
		international = true
	}
	if !international {
		return digits, len(digits) <= 15
	}
	code, ok := callingCode(digits)
	if !ok || len(digits) < 8 || len(digits) > 15 {
		return "", false
	}
	if code == "1" && len(digits) != 11 { // North American numbers have ten digits
		return "", false
	}
	if zeroTrunk[code] { // a slip: +49 030
		digits = code + strings.TrimLeft(digits[len(code):], "0")
	}
	return "+" + digits, len(digits) >= 8
}
