package sellers

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Postal addresses are read from a postcode outwards: a street with the number
// of the house stands within a line or two of it. The forms of postcodes and the
// order of street and number are those of the countries' postal services as the
// Universal Postal Union's sheets describe them; all from memory. Without a
// postcode no address is read, for a street alone is in many towns.

// streetWord is a word that makes a street of the words beside it.
type streetWord struct {
	long string // as compared: abbreviations are written out
	at   byte   // 's' ends the name, also as the ending of a word; 'w' ends it as a word of its own; 'p' begins it
	// before says that the number of the house stands before the name.
	before bool
}

var streetWords = map[string]streetWord{
	// German, Dutch, the Nordic countries, Hungarian: the word ends the name.
	"strasse": {"strasse", 's', false}, "str": {"strasse", 's', false}, "weg": {"weg", 's', false}, "platz": {"platz", 's', false},
	"allee": {"allee", 's', false}, "gasse": {"gasse", 's', false}, "damm": {"damm", 's', false}, "ufer": {"ufer", 's', false},
	"chaussee": {"chaussee", 's', false}, "ring": {"ring", 's', false}, "straat": {"straat", 's', false}, "laan": {"laan", 's', false},
	"plein": {"plein", 's', false}, "gracht": {"gracht", 's', false}, "gade": {"gade", 's', false}, "vej": {"vej", 's', false},
	"gatan": {"gatan", 's', false}, "vagen": {"vagen", 's', false}, "veien": {"veien", 's', false}, "katu": {"katu", 's', false},
	"tie": {"tie", 's', false}, "utca": {"utca", 'w', false}, "ut": {"ut", 'w', false},
	// English: number, name, word.
	"street": {"street", 'w', true}, "st": {"street", 'w', true}, "road": {"road", 'w', true}, "rd": {"road", 'w', true},
	"avenue": {"avenue", 'b', true}, "ave": {"avenue", 'w', true}, "lane": {"lane", 'w', true}, "ln": {"lane", 'w', true},
	"drive": {"drive", 'w', true}, "dr": {"drive", 'w', true}, "boulevard": {"boulevard", 'b', true}, "blvd": {"boulevard", 'w', true},
	"close": {"close", 'w', true}, "court": {"court", 'w', true}, "ct": {"court", 'w', true}, "terrace": {"terrace", 'w', true},
	"way": {"way", 'w', true}, "square": {"square", 'w', true}, "place": {"place", 'b', true}, "quay": {"quay", 'w', true},
	// French: number, word, name.
	"rue": {"rue", 'p', true}, "chemin": {"chemin", 'p', true}, "impasse": {"impasse", 'p', true}, "quai": {"quai", 'p', true},
	"allees": {"allees", 'p', true}, "cours": {"cours", 'p', true}, "bd": {"boulevard", 'p', true}, "av": {"avenue", 'p', true},
	// Italian, Spanish, Portuguese, Polish, Czech, Russian: word, name, number.
	"via": {"via", 'p', false}, "viale": {"viale", 'p', false}, "corso": {"corso", 'p', false}, "piazza": {"piazza", 'p', false},
	"calle": {"calle", 'p', false}, "c": {"calle", 'p', false}, "avenida": {"avenida", 'p', false}, "avda": {"avenida", 'p', false},
	"paseo": {"paseo", 'p', false}, "plaza": {"plaza", 'p', false}, "rua": {"rua", 'p', false}, "praca": {"praca", 'p', false},
	"ul": {"ul", 'p', false}, "ulica": {"ul", 'p', false}, "ulice": {"ul", 'p', false}, "al": {"al", 'p', false},
	"aleja": {"al", 'p', false}, "os": {"os", 'p', false}, "osiedle": {"os", 'p', false}, "plac": {"plac", 'p', false},
	"ул": {"ул", 'p', false}, "улица": {"ул", 'p', false}, "проспект": {"пр", 'p', false}, "пр": {"пр", 'p', false},
	// Boxes at the post office: the number is the whole name.
	"postfach": {"box", 'p', false}, "box": {"box", 'p', false}, "boite": {"box", 'p', false}, "apartado": {"box", 'p', false},
}

// endings are the street words that also end a longer word, longest first.
var endings = func() (list []string) {
	for w, s := range streetWords {
		if s.at == 's' && len(w) >= 3 {
			list = append(list, w)
		}
	}
	slices.SortFunc(list, func(a, b string) int {
		if len(a) != len(b) {
			return len(b) - len(a)
		}
		return strings.Compare(a, b)
	})
	return list
}()

// before and after a postcode an address is looked for within so many bytes.
const (
	addressBefore = 100
	addressAfter  = 90
)

// addresses finds postal addresses.
func (s *search) addresses() {
	for i := 0; i < len(s.text); {
		c := s.text[i]
		if !isDigit(c) {
			if 'A' <= c && c <= 'Z' && !s.wordBefore(i) {
				if n := britishPostcode(s.text[i:]); n > 0 && !s.wordAt(i+n) {
					s.address(i, i+n)
					i += n
					continue
				}
			}
			i++
			continue
		}
		end := i + 1
		for end < len(s.text) && isDigit(s.text[end]) {
			end++
		}
		if n := postcode(s.text[i:], end-i); n > 0 && !s.wordBefore(i) && !s.wordAt(i+n) {
			s.address(i, i+n)
		}
		i = end
	}
	if strings.Contains(s.text, "号") {
		s.chineseAddresses()
	}
}

// postcode gives the length of a postcode of digits at the start of s: 4 to 6
// digits, or "12-345", "123 45" and "1234 AB". run is the number of digits it
// begins with.
func postcode(s string, run int) int {
	at := func(i int) byte {
		if i < len(s) {
			return s[i]
		}
		return 0
	}
	group := func(from, n int) bool {
		for k := range n {
			if !isDigit(at(from + k)) {
				return false
			}
		}
		return !isDigit(at(from + n))
	}
	upper := func(i int) bool { return 'A' <= at(i) && at(i) <= 'Z' }
	switch {
	case run == 2 && at(2) == '-' && group(3, 3):
		return 6
	case run == 3 && at(3) == ' ' && group(4, 2):
		return 6
	case run == 4 && at(4) == ' ' && upper(5) && upper(6) && !isAlnum(at(7)):
		return 7
	case run >= 4 && run <= 6:
		return run
	}
	return 0
}

// britishPostcode gives the length of a British postcode at the start of s: one
// or two letters, a digit, a letter or digit, then a blank, a digit and two
// letters.
func britishPostcode(s string) int {
	i := 1
	letter := func(k int) bool { return k < len(s) && 'A' <= s[k] && s[k] <= 'Z' }
	digit := func(k int) bool { return k < len(s) && isDigit(s[k]) }
	if letter(i) {
		i++
	}
	if !digit(i) {
		return 0
	}
	i++
	if letter(i) || digit(i) {
		i++
	}
	if i < len(s) && s[i] == ' ' {
		i++
	}
	if !digit(i) || !letter(i+1) || !letter(i+2) {
		return 0
	}
	return i + 3
}

// townBeside reports whether a postcode stands where a town's name does: a
// capital word of three letters or more follows it, or, as in Britain, it has
// letters of its own and a capital word stands before it, or, as in the United
// States and Australia, two or three capitals stand before it. english says that it is one of the two.
func (s *search) townBeside(from, to int) (beside, english bool) {
	after := strings.TrimLeft(s.text[to:min(len(s.text), to+addressAfter)], " ,\u00a0")
	if rest, ok := strings.CutPrefix(after, "г. "); ok { // the Russian word for town
		after = rest
	}
	before := strings.TrimRight(s.text[max(0, from-addressBefore):from], " ,\r\n")
	word := before[strings.LastIndexAny(before, " ,\r\n")+1:]
	if !isDigit(s.text[from]) {
		return capitalWord(word), true
	}
	if n := len(word); (to-from == 5 && n == 2 || to-from == 4 && n == 3) && strings.Trim(word, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == "" {
		return true, true
	}
	return capitalWord(after), false
}

// capitalWord reports whether s begins with a word of at least three letters, the
// first a capital.
func capitalWord(s string) bool {
	letters := 0
	for i, r := range s {
		if i == 0 && !unicode.IsUpper(r) {
			return false
		}
		if !unicode.IsLetter(r) {
			break
		}
		letters++
	}
	return letters >= 3
}

// addressWord is a word of an address, folded, with its bytes in the text.
type addressWord struct {
	text       string
	start, end int
	number     bool // begins with a digit
	comma      bool // a comma or line break stands before it
}

// address looks for the street that belongs to the postcode at from to to, first
// before it, then, as in Russian and Chinese letters, behind it.
func (s *search) address(from, to int) {
	town, english := s.townBeside(from, to)
	if !town {
		return
	}
	code := strings.Map(func(r rune) rune {
		if r == ' ' || r == '-' {
			return -1
		}
		return r
	}, s.text[from:to])
	start := max(0, from-addressBefore)
	words := s.addressWords(start, from)
	if n := len(words); n > 0 && s.text[from-1] == '-' { // the country's letter: D-01067
		words = words[:n-1]
	}
	if street, first, _ := streetIn(words, true, english); street != "" {
		if s.taken(words[first].start) == words[first].start {
			s.keep(Address, code+" "+street, words[first].start, to, NotTested)
		}
		return
	}
	words = s.addressWords(to, min(len(s.text), to+addressAfter))
	if street, _, last := streetIn(words, false, english); street != "" {
		s.keep(Address, code+" "+street, from, words[last].end, NotTested)
	}
}

// addressWords cuts a part of the text into words. It does not reach beyond a
// blank line, a full stop at the end of a sentence or a bar.
func (s *search) addressWords(from, to int) (words []addressWord) {
	for from < to && !utf8.RuneStart(s.text[from]) {
		from++
	}
	comma := false
	for i := from; i < to; {
		r, n := utf8.DecodeRuneInString(s.text[i:])
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r) {
			switch r {
			case ',', '\n', '\r', ';', '·', '•':
				comma = true
			case '|', '!', '?', ':':
				words, comma = words[:0], false
			}
			i += n
			continue
		}
		start := i
		for i < to {
			r, n = utf8.DecodeRuneInString(s.text[i:])
			if !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r) {
				break
			}
			i += n
		}
		words = append(words, addressWord{foldStreet(s.text[start:i]), start, i, isDigit(s.text[start]), comma})
		comma = false
	}
	return words
}

// foldStreet lowers a word and writes its letters plainly: "Straße" and
// "STRASSE", "Gärtner" and "Gartner" are one.
func foldStreet(w string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(w) {
		if p := plainLetters[r]; p != "" {
			b.WriteString(p)
		} else if !unicode.IsMark(r) {
			b.WriteRune(r)
		}
	}
	return b.String()
}

var plainLetters = func() map[rune]string {
	m := map[rune]string{'ß': "ss", 'æ': "ae", 'œ': "oe", 'ø': "o", 'ł': "l", 'đ': "d", 'ё': "е"}
	for plain, list := range map[string]string{"a": "àáâãäåāăą", "c": "çćčĉ", "d": "ď", "e": "èéêëēęě", "g": "ğ", "i": "ìíîïī", "l": "ľĺ",
		"n": "ñńň", "o": "òóôõöőō", "r": "řŕ", "s": "śšşș", "t": "ťţț", "u": "ùúûüűūů", "y": "ýÿ", "z": "źżž"} {
		for _, r := range list {
			m[r] = plain
		}
	}
	return m
}()

// streetIn finds the street nearest to the postcode: the last of the words when
// they stand before it. It gives the street as compared, with the number of the
// house, and the first and last of its words.
func streetIn(words []addressWord, before, english bool) (street string, first, last int) {
	for k := range words {
		i := k
		if before {
			i = len(words) - 1 - k
		}
		w := words[i]
		if w.number {
			continue
		}
		form, stem, ok := streetForm(w.text)
		if !ok || form.at == 'w' && form.before && !english {
			continue
		}
		if street, first, last = form.street(words, i, stem); street != "" {
			return street, first, last
		}
	}
	return "", 0, 0
}

// streetForm knows the word, whole or as an ending. stem is what stands before
// the ending.
func streetForm(w string) (form streetWord, stem string, ok bool) {
	if form, ok = streetWords[w]; ok {
		return form, "", true
	}
	for _, e := range endings {
		if stem, ok = strings.CutSuffix(w, e); ok && len(stem) >= 3 {
			return streetWords[e], stem, true
		}
	}
	return form, "", false
}

// nameWords is the largest number of words of a street's name.
const nameWords = 4

func (f streetWord) street(words []addressWord, i int, stem string) (string, int, int) {
	if f.at == 'p' || f.at == 'b' && f.before && i > 0 && words[i-1].number {
		return f.leading(words, i)
	}
	return f.trailing(words, i, stem)
}

// trailing reads a name that the word ends: "Lange Gasse 12", "12 Mill Road".
func (f streetWord) trailing(words []addressWord, i int, stem string) (string, int, int) {
	number := -1
	if !f.before && i+1 < len(words) && words[i+1].number && !words[i+1].comma {
		number = i + 1
	}
	from := i
	for from > 0 && i-from < nameWords && !words[from].comma && !words[from-1].number {
		if f.at == 's' && (stem != "" || i-from == 1) {
			break // "Musterstraße", "Lange Straße": words before belong to a sentence or a firm
		}
		from--
	}
	if f.before && from > 0 && words[from-1].number && !words[from].comma {
		number = from - 1
	}
	if number < 0 || stem == "" && from == i || !houseNumber(words[number].text) {
		return "", 0, 0
	}
	var b strings.Builder
	for _, w := range words[from:i] {
		b.WriteString(w.text)
	}
	b.WriteString(stem + f.long)
	first, last := min(from, number), max(i, number)
	return b.String() + " " + words[number].text + letterAfter(words, number), first, last
}

// leading reads a name that the word begins: "rue des Lilas", "Via Roma 10".
func (f streetWord) leading(words []addressWord, i int) (string, int, int) {
	to := i + 1
	for to < len(words) && to-i <= nameWords && !words[to].number && (!words[to].comma || numberSigns[words[to].text]) {
		to++
	}
	number := -1
	switch {
	case f.before && i > 0 && words[i-1].number && houseNumber(words[i-1].text):
		number = i - 1
	case !f.before && to < len(words) && words[to].number && houseNumber(words[to].text):
		number = to
	}
	if number < 0 || to == i+1 && f.long != "box" || words[i].text == "box" && (i == 0 || words[i-1].text != "po" && words[i-1].text != "o") {
		return "", 0, 0
	}
	var b strings.Builder
	b.WriteString(f.long)
	for _, w := range words[i+1 : to] {
		if !numberSigns[w.text] {
			b.WriteString(w.text)
		}
	}
	text := b.String() + " " + words[number].text
	if number == to {
		text += letterAfter(words, number)
	}
	return text, min(i, number), max(to-1, number)
}

// numberSigns announce the number of a house.
var numberSigns = map[string]bool{"nr": true, "n": true, "no": true, "д": true, "дом": true}

// letterAfter gives the single letter of a house number such as "12 a".
func letterAfter(words []addressWord, number int) string {
	has := words[number].text
	if n := number + 1; isDigit(has[len(has)-1]) && n < len(words) && len(words[n].text) == 1 && !words[n].comma && !words[n].number {
		return words[n].text
	}
	return ""
}

// houseNumber takes up to five digits and a letter.
func houseNumber(s string) bool {
	digits := 0
	for digits < len(s) && isDigit(s[digits]) {
		digits++
	}
	return digits >= 1 && digits <= 5 && utf8.RuneCountInString(s[digits:]) <= 1
}

// chineseAddresses reads what ends in 号, the number of the house, behind the
// word for a road: 浙江省宁波市海曙区中山路123号.
func (s *search) chineseAddresses() {
	for at := 0; ; {
		i := strings.Index(s.text[at:], "号")
		if i < 0 {
			return
		}
		end := at + i + len("号")
		start := at + i
		digits := 0
		for start > at && isDigit(s.text[start-1]) {
			start, digits = start-1, digits+1
		}
		name := start
		for n := 0; n < 40 && name > at; n++ {
			r, size := utf8.DecodeLastRuneInString(s.text[at:name])
			if !unicode.Is(unicode.Han, r) {
				break
			}
			name -= size
		}
		run := s.text[name:start]
		if _, after, ok := strings.Cut(run, "址"); ok { // 地址 and the like announce it
			name, run = start-len(after), after
		}
		if digits > 0 && digits <= 5 && utf8.RuneCountInString(run) >= 4 &&
			slices.ContainsFunc([]string{"路", "街", "道", "巷", "村"}, func(w string) bool { return strings.HasSuffix(run, w) }) {
			s.keep(Address, s.text[name:end], name, end, NotTested)
		}
		at = end
	}
}
