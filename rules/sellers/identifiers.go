package sellers

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"counterfoil/rules/checkdigit"
)

// vatForm is how a country writes VAT numbers after its prefix: d a digit, a a
// letter, x either, B and U themselves.
type vatForm struct {
	forms []string
	check func(body string) bool // nil when not tested
}

// vatForms follow the table of structures in the frequently asked questions of
// the European Commission's VIES, written from memory.
var vatForms = map[string]vatForm{
	"AT": {[]string{"Udddddddd"}, checkAT},
	"BE": {[]string{"dddddddddd"}, checkBE},
	"BG": {[]string{"dddddddddd", "ddddddddd"}, checkBG},
	"CY": {[]string{"dddddddda"}, checkCY},
	"CZ": {[]string{"dddddddddd", "ddddddddd", "dddddddd"}, checkCZ},
	"DE": {[]string{"ddddddddd"}, checkdigit.Mod11and10},
	"DK": {[]string{"dddddddd"}, checkDK},
	"EE": {[]string{"ddddddddd"}, checkEE},
	"EL": {[]string{"ddddddddd"}, checkEL},
	"ES": {[]string{"xdddddddx"}, checkES},
	"FI": {[]string{"dddddddd"}, checkFI},
	"FR": {[]string{"xxddddddddd"}, checkFR},
	"GB": {[]string{"dddddddddddd", "ddddddddd"}, checkGB},
	"HR": {[]string{"ddddddddddd"}, checkdigit.Mod11and10},
	"HU": {[]string{"dddddddd"}, checkHU},
	"IE": {[]string{"dddddddaa", "dxddddda"}, checkIE},
	"IT": {[]string{"ddddddddddd"}, checkdigit.Luhn},
	"LT": {[]string{"dddddddddddd", "ddddddddd"}, checkLT},
	"LU": {[]string{"dddddddd"}, checkLU},
	"LV": {[]string{"ddddddddddd"}, checkLV},
	"MT": {[]string{"dddddddd"}, checkMT},
	"NL": {[]string{"dddddddddBdd"}, checkNL},
	"PL": {[]string{"dddddddddd"}, checkPL},
	"PT": {[]string{"ddddddddd"}, checkPT},
	"RO": {[]string{"dddddddddd", "ddddddddd", "dddddddd", "ddddddd", "dddddd"}, checkRO},
	"SE": {[]string{"dddddddddddd"}, checkSE},
	"SI": {[]string{"dddddddd"}, checkSI},
	"SK": {[]string{"dddddddddd"}, checkSK},
	"XI": {[]string{"ddddddddd"}, checkGB},
}

// vatLabels announce a VAT number; with a country, one that may stand without
// prefix. From memory; common practice, no source.
var vatLabels = []struct {
	country string
	labels  []string
}{
	{"", []string{"vat", "vat reg", "vat id", "uid", "tva", "tva intracommunautaire", "iva", "btw", "btw-id", "btw-nummer", "moms", "alv", "ust", "tax id", "vat-id"}},
	{"DE", []string{"ust-id", "ust.-id", "ust-idnr", "ust.-idnr", "ust-id-nr", "ust.id", "umsatzsteuer-id", "umsatzsteuer-identifikationsnummer", "ustid", "ustidnr"}},
	{"PL", []string{"nip"}},
	{"IT", []string{"p.iva", "p. iva", "partita iva", "p.i"}},
	{"ES", []string{"nif", "cif"}},
	{"HR", []string{"oib"}},
	{"CZ", []string{"dič"}},
}

// run collects letters and digits from i on, single separators left out, and
// where each ends. It stops at limit characters or at any other mark.
func (s *search) run(i, limit int) (chars string, ends []int) {
	var b strings.Builder
	for j := i; j < len(s.text) && b.Len() < limit; {
		c := s.text[j]
		if isAlnum(c) {
			b.WriteByte(c &^ upperBit(c))
			j++
			ends = append(ends, j)
			continue
		}
		n := 1
		if c >= utf8.RuneSelf {
			r, size := utf8.DecodeRuneInString(s.text[j:])
			if !unicode.IsSpace(r) {
				break
			}
			n = size
		} else if strings.IndexByte(" .-/", c) < 0 {
			break
		}
		if j+n >= len(s.text) || !isAlnum(s.text[j+n]) {
			break
		}
		j += n
	}
	return b.String(), ends
}

// upperBit is the bit that tells a lower-case letter from an upper-case one.
func upperBit(c byte) byte {
	if 'a' <= c && c <= 'z' {
		return 0x20
	}
	return 0
}

// fits reports whether chars begins with the form.
func fits(chars, form string) bool {
	if len(chars) < len(form) {
		return false
	}
	for i := range len(form) {
		c, d := chars[i], isDigit(chars[i])
		switch form[i] {
		case 'd':
			if !d {
				return false
			}
		case 'a':
			if d {
				return false
			}
		case 'x':
		default:
			if c != form[i] {
				return false
			}
		}
	}
	return true
}

// vat reads a VAT number at i: a prefix and a number of that country, or the
// number alone after a label when the label or the marketplace tells the country. Without a label of its own (the
// field Contact) the check digits must hold.
func (s *search) vat(i int, country string) int {
	chars, ends := s.run(i, 15)
	if len(chars) < 2 {
		return i
	}
	prefix, head := greekPrefix(chars[:2]), 2
	form, ok := vatForms[prefix]
	if !ok {
		prefix, head = greekPrefix(country), 0
		if form, ok = vatForms[prefix]; !ok {
			return i
		}
	}
	for _, f := range form.forms {
		n := head + len(f)
		if !fits(chars[head:], f) || s.wordAt(ends[n-1]) {
			continue
		}
		check := tested(form.check, chars[head:n])
		if s.labelBefore(i).kind != VAT && check != CheckHolds {
			continue
		}
		s.keep(VAT, prefix+chars[head:n], i, ends[n-1], check)
		return ends[n-1]
	}
	return i
}

// greekPrefix gives the prefix of VAT numbers of a country: Greece's differs from
// its ISO 3166 code.
func greekPrefix(country string) string {
	if country == "GR" {
		return "EL"
	}
	return country
}

func tested(check func(string) bool, s string) Check {
	switch {
	case check == nil:
		return NotTested
	case check(s):
		return CheckHolds
	}
	return CheckFails
}

// registerForm is a register of firms.
type registerForm struct {
	name   string
	labels []string
	forms  []string
	check  func(string) bool
	court  bool // numbers are given by each court anew
}

// registers from memory; common practice, no source for the labels.
var registers = []registerForm{
	{"HRA", []string{"hra"}, []string{"dddddd", "ddddd", "dddd", "ddd"}, nil, true},
	{"HRB", []string{"hrb"}, []string{"dddddd", "ddddd", "dddd", "ddd"}, nil, true},
	{"FN", []string{"firmenbuchnummer", "firmenbuch", "firmenbuch fn", "fn"}, []string{"dddddda", "ddddda"}, nil, false},
	{"SIRET", []string{"siret"}, []string{"dddddddddddddd"}, checkdigit.Luhn, false},
	{"SIREN", []string{"siren"}, []string{"ddddddddd"}, checkdigit.Luhn, false},
	{"KRS", []string{"krs"}, []string{"dddddddddd"}, nil, false},
	{"REGON", []string{"regon"}, []string{"ddddddddd"}, checkREGON, false},
	{"KvK", []string{"kvk", "kvk-nummer"}, []string{"dddddddd"}, nil, false},
	{"CVR", []string{"cvr", "cvr-nr"}, []string{"dddddddd"}, checkDK, false},
	{"Company", []string{"company no", "company nr", "company number", "company reg", "company registration", "company registration no",
		"company registration number", "registered number", "crn"}, []string{"dddddddd", "aadddddd"}, nil, false},
	{"OGRN", []string{"огрн", "огрнип"}, []string{"ddddddddddddddd", "ddddddddddddd"}, checkOGRN, false},
	{"INN", []string{"инн"}, []string{"dddddddddddd", "dddddddddd"}, checkINN, false},
	{"USCC", []string{"统一社会信用代码", "社会信用代码", "信用代码", "uscc"}, []string{"xxxxxxxxxxxxxxxxxx"}, checkUSCC, false},
}

func (s *search) register(i int, r *registerForm) int {
	chars, ends := s.run(i, 18)
	for _, f := range r.forms {
		if !fits(chars, f) || s.wordAt(ends[len(f)-1]) || len(chars) > len(f) && !s.gapAfter(ends[len(f)-1]) {
			continue
		}
		end := ends[len(f)-1]
		canonical := r.name + " " + chars[:len(f)]
		if r.court {
			if court := s.court(i, end); court != "" {
				canonical += " " + court
			}
		}
		s.keep(Register, canonical, i, end, tested(r.check, chars[:len(f)]))
		return end
	}
	return i
}

// gapAfter reports whether a blank, not a separator inside a number, follows.
func (s *search) gapAfter(end int) bool {
	return end == len(s.text) || s.text[end] == ' ' || s.text[end] == '.'
}

// court finds the word after "Amtsgericht" or "AG" near a register number.
func (s *search) court(start, end int) string {
	from := start - min(start, lookBack)
	near := s.lower[from:min(len(s.lower), end+lookBack)]
	for _, name := range []string{"amtsgericht ", "registergericht ", " ag "} {
		if _, rest, ok := strings.Cut(near, name); ok {
			word := strings.TrimLeft(rest, " :")
			if cut := strings.IndexFunc(word, func(r rune) bool { return !unicode.IsLetter(r) && r != '-' }); cut >= 0 {
				word = word[:cut]
			}
			if word != "hrb" && word != "hra" && utf8.ValidString(word) {
				return strings.Trim(word, "-")
			}
		}
	}
	return ""
}

// ibanLengths are the lengths of the ISO 13616 registry, written from memory and
// compared with the Debian package python3-stdnum.
var ibanLengths = map[string]int{
	"AD": 24, "AE": 23, "AL": 28, "AT": 20, "AZ": 28, "BA": 20, "BE": 16, "BG": 22, "BH": 22, "BR": 29, "CH": 21, "CR": 22,
	"CY": 28, "CZ": 24, "DE": 22, "DK": 18, "DO": 28, "EE": 20, "ES": 24, "FI": 18, "FO": 18, "FR": 27, "GB": 22, "GE": 22,
	"GI": 23, "GL": 18, "GR": 27, "GT": 28, "HR": 21, "HU": 28, "IE": 22, "IL": 23, "IS": 26, "IT": 27, "JO": 30, "KW": 30,
	"KZ": 20, "LB": 28, "LI": 21, "LT": 20, "LU": 20, "LV": 21, "MC": 27, "MD": 24, "ME": 22, "MK": 19, "MT": 31, "NL": 18,
	"NO": 15, "PK": 24, "PL": 28, "PS": 29, "PT": 25, "QA": 29, "RO": 24, "RS": 22, "SA": 24, "SE": 24, "SI": 19, "SK": 24,
	"SM": 27, "TN": 24, "TR": 26, "UA": 29, "XK": 20,
}

// iban reads an international bank account number (ISO 13616) at i.
func (s *search) iban(i int) int {
	if i+4 > len(s.text) || !isAlnum(s.text[i]) || isDigit(s.text[i]) || isDigit(s.text[i+1]) || !isDigit(s.text[i+2]) || !isDigit(s.text[i+3]) {
		return i
	}
	country := strings.ToUpper(s.text[i : i+2])
	n, ok := ibanLengths[country]
	if !ok {
		return i
	}
	chars, ends := s.run(i, n)
	if len(chars) < n || s.wordAt(ends[n-1]) || !checkdigit.Mod97(chars[4:]+chars[:4]) {
		return i
	}
	s.keep(IBAN, chars, i, ends[n-1], CheckHolds)
	return ends[n-1]
}
