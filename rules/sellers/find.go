package sellers

import (
	"cmp"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"counterfoil/parse/listing"
	"counterfoil/rules/wording"
)

// Kind says what a contact is.
type Kind string

const (
	Phone     Kind = "phone"
	Mail      Kind = "mail"
	Messenger Kind = "messenger"
	VAT       Kind = "vat-number"
	Register  Kind = "register-number"
	IBAN      Kind = "iban"
	Address   Kind = "address"
)

// Kinds of links that are no contact. The first three come from what an account
// shows of itself, the others from the caller.
const (
	Name       Kind = "name"       // equal displayed names
	NameAlike  Kind = "name-alike" // names that differ in a digit, an ending or a letter
	Place      Kind = "place"      // one place of business or dispatch
	SameSerial Kind = "serial"
	SamePhoto  Kind = "photo"       // copies of one picture
	SameFile   Kind = "photo-file"  // pictures of the same bytes
	SameText   Kind = "text"        // nearly the same description
	SamePhrase Kind = "phrase"      // a passage that few sellers use
	SameSlip   Kind = "misspelling" // a misspelling that few sellers share
	SameCamera Kind = "camera"      // different pictures of one camera, by its number
	SameDevice Kind = "device"      // different pictures of a rare model and program
	SamePrices Kind = "odd-price"   // the same odd prices of several parts
	PriceRule  Kind = "price-rule"  // prices of many parts in one ratio
)

// IsContact reports whether a kind is a way to reach or identify a person, and
// so is to be masked and hashed.
func (k Kind) IsContact() bool {
	switch k {
	case Phone, Mail, Messenger, VAT, Register, IBAN, Address:
		return true
	}
	return false
}

// Check says whether a number's check digits were tested.
type Check string

const (
	NotTested  Check = ""
	CheckHolds Check = "holds"
	CheckFails Check = "fails" // a misprint, or an invented number
)

// Contact is one way to reach or identify a seller, as found in a text.
type Contact struct {
	Listing int // set by Build
	Field   listing.Name
	Kind    Kind
	// Canonical is the form in which two are compared. Phone: E.164 with its
	// plus sign ("+493012345678"), or the national digits alone when the country
	// is not known. Mail: lower case. Messenger: the handle in lower case without
	// "@". VAT: country prefix and number without separators. Register: the
	// register's short name, a blank, the number and, where it matters, the court
	// in lower case. IBAN: upper case without blanks. Address: postcode, a blank,
	// the street without blanks and accents, and the number of the house.
	Canonical  string
	Raw        string // the text from Start to End
	Start, End int    // bytes in the text of the field, half-open
	Photo      int    // number of the photo on which it was read, from 1; 0 when it was not
	Check      Check
}

const (
	maxText     = 64 << 10 // bytes of a text that are searched
	maxContacts = 64       // contacts of one text
	lookBack    = 64       // bytes before a number in which its label stands
)

// Find extracts the contacts of one text, by start. A number is a phone number
// only after a label such as "tel", or with a plus sign and a country's code, or
// with its area code in parentheses, or when the field is Contact: part numbers
// and serials look alike otherwise. A VAT or register number needs its label. An
// IBAN needs its country's length and its check digits. The first 64 KiB of the
// text are searched, and at most 64 contacts are given.
func Find(text string, field listing.Name, country string, opt Options) []Contact {
	f := usual()
	if len(opt.Messengers) > 0 {
		f = newFinder(opt)
	}
	return f.find(text, field, country)
}

// usual is the finder without labels of the user's.
var usual = sync.OnceValue(func() *finder { return newFinder(Options{}) })

// subject is what a label announces.
type subject struct {
	kind    Kind
	country string // of a VAT label that is used in one country only
	number  *registerForm
	general bool // a messenger word that running text uses too
}

type label struct {
	text string
	subject
}

// finder holds labels and fillers by their last byte.
type finder struct {
	labels  [256][]label
	fillers [256][]string
}

func newFinder(opt Options) *finder {
	f := &finder{}
	add := func(s subject, list ...string) {
		for _, l := range list {
			if l = wording.Lower(strings.TrimSpace(l)); l != "" {
				last := l[len(l)-1]
				f.labels[last] = append(f.labels[last], label{l, s})
			}
		}
	}
	add(subject{kind: Phone}, phoneLabels...)
	add(subject{kind: Messenger, general: true}, messengerLabels...)
	add(subject{kind: Messenger}, opt.Messengers...)
	for _, v := range vatLabels {
		add(subject{kind: VAT, country: v.country}, v.labels...)
	}
	for i := range registers {
		add(subject{kind: Register, number: &registers[i]}, registers[i].labels...)
	}
	for _, w := range fillers {
		f.fillers[w[len(w)-1]] = append(f.fillers[w[len(w)-1]], w)
	}
	for i := range f.labels {
		slices.SortStableFunc(f.labels[i], func(a, b label) int { return cmp.Compare(len(b.text), len(a.text)) })
	}
	return f
}

// Words before a phone number or handle, from memory; common practice, no
// source. Messenger services are the user's to name.
var (
	phoneLabels = []string{"tel", "telephone", "phone", "mobile", "mob", "cell", "call", "fax", "hotline", "gsm", "handy", "telefon",
		"mobil", "rufnummer", "tél", "téléphone", "portable", "appelez", "teléfono", "telefono", "móvil", "movil", "llamar", "cellulare",
		"komórka", "kom", "zadzwoń", "тел", "телефон", "моб", "звоните", "电话", "手机", "联系电话", "热线", "致电"}
	messengerLabels = []string{"messenger", "chat", "handle", "мессенджер", "私信", "私聊", "加好友"}
	fillers         = []string{"number", "no", "nr", "num", "id", "us", "me", "at", "on", "n°", "numer", "номер", "по", "numéro", "numero",
		"número", "unter", "au", "al", "pod", "号码", "号"}
)

// find is Find with the labels prepared.
func (f *finder) find(text string, field listing.Name, country string) []Contact {
	if len(text) > maxText {
		text = text[:maxText]
	}
	if !worthSearching(text) {
		return nil
	}
	s := &search{finder: f, text: text, lower: wording.Lower(text), field: field, country: strings.ToUpper(country)}
	s.mails()
	s.addresses()
	s.numbers()
	slices.SortFunc(s.found, func(a, b Contact) int { return cmp.Compare(a.Start, b.Start) })
	return s.found
}

// worthSearching reports whether a text has three digits, a sign that mail or
// handles need, or a bracket or full-width colon that stands for one.
func worthSearching(text string) bool {
	digits := 0
	for i := range len(text) {
		switch c := text[i]; {
		case c == '@' || c == ':' || c == '[' || c == '(' || c == '=' || c == 0xef:
			return true
		case '0' <= c && c <= '9':
			if digits++; digits == 3 {
				return true
			}
		}
	}
	return false
}

// search is the state of one text.
type search struct {
	*finder
	text, lower string
	field       listing.Name
	country     string
	found       []Contact
}

func (s *search) keep(kind Kind, canonical string, start, end int, check Check) {
	if len(s.found) < maxContacts {
		s.found = append(s.found, Contact{Field: s.field, Kind: kind, Canonical: canonical,
			Raw: s.text[start:end], Start: start, End: end, Check: check})
	}
}

// taken gives the end of the contact that covers i, or i.
func (s *search) taken(i int) int {
	for _, c := range s.found {
		if c.Start <= i && i < c.End {
			return c.End
		}
	}
	return i
}

func isAlnum(c byte) bool { return isDigit(c) || 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' }
func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// wordBefore and wordAt report whether a letter or digit of any script stands
// directly before or at i.
func (s *search) wordBefore(i int) bool {
	r, _ := utf8.DecodeLastRuneInString(s.text[:i])
	return isWord(r)
}

func (s *search) wordAt(i int) bool {
	r, _ := utf8.DecodeRuneInString(s.text[i:])
	return isWord(r)
}

// isWord leaves out the scripts without word spaces: a number may follow them
// directly.
func isWord(r rune) bool {
	return unicode.IsDigit(r) || unicode.IsLetter(r) && !unicode.Is(unicode.Han, r)
}

// numbers walks over the places where a number or handle may start and reads
// there what its label, or else its form, says it is.
func (s *search) numbers() {
	for i := 0; i < len(s.text); {
		c := s.text[i]
		if !isAlnum(c) && c != '+' && c != '(' && c != '@' {
			i++
			continue
		}
		end := i + 1
		for isAlnum(c) && end < len(s.text) && isAlnum(s.text[end]) {
			end++
		}
		if covered := s.taken(i); covered > i {
			end = covered
		} else if s.mayStart(i, end) && !s.wordBefore(i) {
			end = max(end, s.numberAt(i))
		}
		i = end
	}
}

// mayStart tells from running text the words at which a number or handle may
// start: with a digit in them, after a colon or at sign, or a short prefix before
// a digit ("DE 136").
func (s *search) mayStart(i, end int) bool {
	if !isAlnum(s.text[i]) || strings.ContainsAny(s.text[i:end], "0123456789") || s.marked(i) {
		return true
	}
	return end-i <= 3 && end+1 < len(s.text) && isDigit(s.text[end+1])
}

// numberAt reads the number or handle at i and gives its end, or i.
func (s *search) numberAt(i int) int {
	what := s.labelBefore(i)
	switch what.kind {
	case VAT:
		if end := s.vat(i, cmp.Or(what.country, s.country)); end > i {
			return end
		}
	case Register:
		if end := s.register(i, what.number); end > i {
			return end
		}
	case Messenger:
		if end := s.phone(i, !what.general || s.marked(i)); end > i {
			return end
		}
		return s.handle(i)
	case "":
		if i > 0 && strings.IndexByte("/=&?_%-#", s.text[i-1]) >= 0 {
			return i // inside an address or a longer number
		}
	}
	if end := s.iban(i); end > i {
		return end
	}
	if s.field == listing.Contact && what.kind == "" {
		if end := s.vat(i, ""); end > i {
			return end
		}
	}
	return s.phone(i, what.kind == Phone || what.kind == "" && s.field == listing.Contact && !s.afterNumberLabel(i))
}

// labelBefore finds the label that ends before i, marks and fillers such as
// "no." between them apart.
func (s *search) labelBefore(i int) subject {
	before := s.lower[max(0, i-lookBack):i]
	for range 3 {
		before = strings.TrimRight(before, " \t:.=#№/-–—()[]|*_：\u00a0")
		if before == "" {
			return subject{}
		}
		for _, l := range s.labels[before[len(before)-1]] {
			if endsInWord(before, l.text) {
				return l.subject
			}
		}
		list := s.fillers[before[len(before)-1]]
		filler := slices.IndexFunc(list, func(f string) bool { return endsInWord(before, f) })
		if filler < 0 {
			return subject{}
		}
		before = before[:len(before)-len(list[filler])]
	}
	return subject{}
}

// endsInWord reports whether s ends with the word, as a word of its own.
func endsInWord(s, word string) bool {
	rest, ok := strings.CutSuffix(s, word)
	if !ok {
		return false
	}
	r, _ := utf8.DecodeLastRuneInString(rest)
	first, _ := utf8.DecodeRuneInString(word)
	return !isWord(r) || unicode.Is(unicode.Han, first)
}

// handle reads a messenger handle: "@name", or a name after a colon or equals
// sign.
func (s *search) handle(i int) int {
	start := i
	if !s.marked(i) {
		return start
	}
	if s.text[i] == '@' {
		i++
	}
	end := i
	for end < len(s.text) && (isAlnum(s.text[end]) || strings.IndexByte("_.-", s.text[end]) >= 0) {
		end++
	}
	end = i + len(strings.TrimRight(s.text[i:end], "._-"))
	if n := end - i; n < 5 || n > 32 || s.wordAt(end) {
		return start
	}
	s.keep(Messenger, strings.Clone(s.lower[i:end]), start, end, NotTested)
	return end
}

// marked reports whether an at sign stands at i or a colon or equals sign before
// it.
func (s *search) marked(i int) bool {
	before := strings.TrimRight(s.text[max(0, i-lookBack):i], " ")
	return s.text[i] == '@' || strings.HasSuffix(before, ":") || strings.HasSuffix(before, "：") || strings.HasSuffix(before, "=")
}

// mails finds addresses, also written with "(at)" and "(dot)".
func (s *search) mails() {
	for i := 0; i < len(s.text); i++ {
		at := atSign(s.lower[i:])
		if at == 0 {
			continue
		}
		start := i
		if at > 1 {
			start = len(strings.TrimRight(s.text[:i], " "))
		}
		to := start
		for start > 0 && i-start <= 72 && (isAlnum(s.text[start-1]) || strings.IndexByte("._%+-", s.text[start-1]) >= 0) {
			start--
		}
		for start < to && !isAlnum(s.text[start]) {
			start++
		}
		domain, end := s.domain(i+at, at > 1)
		if start == to || to-start > 64 || domain == "" {
			continue
		}
		s.keep(Mail, s.lower[start:to]+"@"+domain, start, end, NotTested)
		i = end - 1
	}
}

// atSign gives the length of an at sign or a word for it at the start of s.
func atSign(s string) int {
	if s[0] == '@' {
		return 1
	}
	if s[0] != '(' && s[0] != '[' && s[0] != '{' {
		return 0
	}
	for _, w := range []string{"(at)", "[at]", "{at}"} {
		if strings.HasPrefix(s, w) {
			return len(w)
		}
	}
	return 0
}

// domain reads a host name of two labels and more at i. spelled allows blanks
// and words for the dot.
func (s *search) domain(i int, spelled bool) (domain string, end int) {
	var labels []string
	for len(labels) < 8 {
		if spelled {
			for i < len(s.lower) && s.lower[i] == ' ' {
				i++
			}
		}
		start := i
		for i < len(s.lower) && i-start <= 63 && (isAlnum(s.lower[i]) || s.lower[i] == '-') {
			i++
		}
		part := strings.Trim(s.lower[start:i], "-")
		if part == "" || part != s.lower[start:i] {
			break
		}
		labels, end = append(labels, part), i
		dot := 0
		rest := strings.TrimLeft(s.lower[i:], " ")
		for _, w := range []string{"(dot)", "[dot]", "{dot}", "(punkt)"} {
			if spelled && strings.HasPrefix(rest, w) {
				dot = len(s.lower) - i - len(rest) + len(w)
			}
		}
		if dot == 0 && strings.HasPrefix(s.lower[i:], ".") {
			dot = 1
		}
		if dot == 0 {
			break
		}
		i += dot
	}
	if len(labels) < 2 || !isTopLevel(labels[len(labels)-1]) || s.wordAt(end) {
		return "", 0
	}
	return strings.Join(labels, "."), end
}

// isTopLevel tells an ending of a host name from that of a picture's file name.
func isTopLevel(s string) bool {
	return len(s) >= 2 && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz") == "" &&
		!slices.Contains([]string{"png", "jpg", "jpeg", "webp", "gif", "svg", "avif", "css", "js"}, s)
}
