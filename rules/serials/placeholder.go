package serials

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// MinLength is the least number of characters of a serial that is matched:
// shorter ones are equal by chance too often. Common practice, no source.
const MinLength = 5

// maxLength is the largest number of characters of a serial: longer texts are
// remarks, or several values run together. Common practice, no source.
const maxLength = 30

// maxText bounds, in bytes, the text that is read as a serial.
const maxText = 256

// labels may stand before a serial in the same text. A label is taken off only
// when a mark that no serial has follows it.
var labels = []string{"SERIAL NUMBER", "SERIAL NO", "SERIAL NR", "SERIAL", "S/N", "SN", "SER. NO", "SERIENNUMMER",
	"SERIEN-NR", "NUMÉRO DE SÉRIE", "NUMERO DE SERIE", "NÚMERO DE SERIE", "N° DE SÉRIE", "NUMERO DI SERIE",
	"NUMER SERYJNY", "NR SERYJNY", "СЕРИЙНЫЙ НОМЕР", "序列号", "编号"}

// Canonical brings a serial into the form in which two are compared: without a
// label such as "S/N:" and without a closing remark in parentheses that has no
// digit, compatibility forms folded (NFKC), upper case, letters, digits and
// masking marks only. "" when nothing is left. Text beyond 256 bytes
// is not read. Canonical of a canonical serial is itself.
func Canonical(s string) string {
	if len(s) > maxText {
		s = s[:maxText]
	}
	s = strings.ToUpper(norm.NFKC.String(strings.ToValidUTF8(s, "")))
	return strings.Map(func(r rune) rune {
		if isOuter(r) {
			return -1
		}
		return r
	}, withoutRemark(withoutLabel(strings.TrimFunc(s, isOuter))))
}

func withoutRemark(s string) string {
	if i := strings.IndexByte(s, '('); i > 0 && strings.IndexFunc(s[i:], unicode.IsDigit) < 0 {
		return s[:i]
	}
	return s
}

func withoutLabel(s string) string {
	for _, label := range labels {
		rest, ok := strings.CutPrefix(s, label)
		if !ok {
			continue
		}
		cut := strings.TrimLeftFunc(rest, isOuter)
		mark := rest[:len(rest)-len(cut)]
		if cut != "" && (strings.ContainsAny(mark, ":#=№") || mark != "" && len(label) > 2) {
			return cut
		}
	}
	return s
}

func isOuter(r rune) bool {
	return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !isMask(r)
}

func isMask(r rune) bool {
	return r == '*' || r == '?' || r == '•' || r == '●' || r == '█' || r == '■'
}

// lookAlike folds the characters that a reader, a camera or a typist takes for
// another: 0/O, 1/I/L, 8/B, 5/S, 2/Z.
var lookAlike = strings.NewReplacer("O", "0", "I", "1", "L", "1", "B", "8", "S", "5", "Z", "2")

// Fold gives the form in which two canonical serials read alike: O as 0, I and
// L as 1, B as 8, S as 5, Z as 2. Equal folds are 'near', never 'equal'.
func Fold(canonical string) string { return lookAlike.Replace(canonical) }

// fillers are what people write where a form demands a serial and they have
// none. From memory; common practice, no source.
var fillers = wordSet(
	"N/A", "NA", "NONE", "NO", "NIL", "NULL", "UNKNOWN", "TBD", "TBA", "TO FOLLOW", "NOT APPLICABLE", "NOT AVAILABLE",
	"DOES NOT APPLY", "SEE PHOTO", "SEE PHOTOS", "SEE PICTURE", "SEE PICTURES", "SEE IMAGE", "SEE IMAGES", "SEE PLATE",
	"SEE LABEL", "SEE DESCRIPTION", "ASK", "ON REQUEST", "SERIAL", "SERIAL NUMBER", "SERIAL NO", "S/N", "SN", "NUMBER",
	"TEST", "SAMPLE", "EXAMPLE", "VARIOUS", "DIVERSE", "MULTIPLE", "MISSING", "ILLEGIBLE", "UNREADABLE", "REMOVED",
	"SIEHE FOTO", "SIEHE FOTOS", "SIEHE BILD", "SIEHE BILDER", "UNBEKANNT", "KEINE", "NICHT ZUTREFFEND", "AUF ANFRAGE",
	"VOIR PHOTO", "VOIR PHOTOS", "INCONNU", "SANS", "NON APPLICABLE", "VER FOTO", "VER FOTOS", "DESCONOCIDO",
	"NO APLICA", "VEDI FOTO", "SCONOSCIUTO", "BRAK", "NIE DOTYCZY", "PATRZ ZDJĘCIE", "NA ZDJĘCIU", "ZOB. ZDJĘCIE",
	"НЕТ", "СМ. ФОТО", "НА ФОТО", "НЕИЗВЕСТНО", "无", "见图", "看图", "如图", "不详", "详见图片")

func wordSet(words ...string) map[string]bool {
	set := make(map[string]bool, len(words))
	for _, w := range words {
		set[Canonical(w)] = true
	}
	return set
}

// keyboards are rows of keys, read forwards and backwards.
var keyboards = []string{"QWERTYUIOP", "QWERTZUIOP", "AZERTYUIOP", "ASDFGHJKL", "QSDFGHJKLM", "ZXCVBNM", "YXCVBNM",
	"WXCVBN", "1Q2W3E4R5T6Z7U", "1Q2W3E4R5T6Y7U", "QAZWSXEDC", "1QAZ2WSX", "ЙЦУКЕНГШЩЗ", "ФЫВАПРОЛДЖ"}

// Placeholder reports whether a text in a serial's place is no serial that
// could be matched, and why, in words for a report: a filler such as "N/A" or
// "see photo", one character repeated, a counting or keyboard row, a repeated
// pattern, a masked, too short or too long number, or no digit at all. An honest seller
// may have written it because a form asked for a value. An empty text is a
// placeholder too. Common practice, no source; a maker that really numbers its
// units 000001 onwards is misjudged here.
func Placeholder(serial string) (why string, ok bool) {
	return placeholder(Canonical(serial))
}

func placeholder(s string) (why string, ok bool) {
	n := utf8.RuneCountInString(s)
	switch {
	case strings.IndexFunc(s, func(r rune) bool { return !isMask(r) }) < 0:
		return "it holds no letter or digit", true
	case fillers[s]:
		return "the words stand for an unknown serial", true
	case isRepeated(s, 1):
		return "one character is repeated", true
	case isMasked(s):
		return "part of it is masked", true
	case n < MinLength:
		return "it is too short to tell units apart", true
	case n > maxLength:
		return "it is too long for a serial", true
	case isRow(s):
		return "it is a counting row", true
	case isKeyboard(s):
		return "it is a row of keys", true
	case isRepeated(s, 2), isDigits(s) && isRepeated(s, 3):
		return "a short pattern is repeated", true
	case isDigits(s) && strings.TrimLeft(s, "0") == s[len(s)-1:]:
		return "it is zeros and one digit", true
	case strings.IndexFunc(s, unicode.IsDigit) < 0:
		return "it holds no digit", true
	}
	return "", false
}

func isDigits(s string) bool {
	return s != "" && strings.IndexFunc(s, func(r rune) bool { return r < '0' || r > '9' }) < 0
}

// isRepeated reports whether s repeats its first characters, period of them, to
// its end, at least once in full.
func isRepeated(s string, period int) bool {
	r := []rune(s)
	if len(r) < 2*period {
		return false
	}
	for i := period; i < len(r); i++ {
		if r[i] != r[i-period] {
			return false
		}
	}
	return true
}

// isMasked reports whether characters are hidden by masking marks or by three
// or more X.
func isMasked(s string) bool {
	return strings.IndexFunc(s, isMask) >= 0 || strings.Contains(s, "XXX")
}

// isRow reports whether s counts up or down by one from end to end (123456,
// 987654, ABCDEF, with 0 after 9), or does so in two rows or after at most three
// letters (ABC123, SN12345).
func isRow(s string) bool {
	if rowFrom(s) == len(s) {
		return true
	}
	letters := strings.TrimRight(s, "0123456789")
	digits := s[len(letters):]
	if rowFrom(digits) != len(digits) {
		return false
	}
	starts := strings.HasPrefix(digits, "1") || strings.HasPrefix(digits, "01")
	return starts && (len(digits) >= 3 && len(letters) >= 3 && rowFrom(letters) == len(letters) ||
		len(digits) >= 5 && len(letters) <= 3)
}

// rowFrom gives how many bytes from the start count up, or down, by one.
func rowFrom(s string) int {
	if len(s) < 2 {
		return len(s)
	}
	step := int(s[1]) - int(s[0])
	if step == '0'-'9' || step == '9'-'0' {
		step = -step / 9
	}
	if step != 1 && step != -1 {
		return 1
	}
	for i := 1; i < len(s); i++ {
		d := int(s[i]) - int(s[i-1])
		wrapped := step == 1 && s[i-1] == '9' && s[i] == '0' || step == -1 && s[i-1] == '0' && s[i] == '9'
		if d != step && !wrapped || s[i] >= utf8.RuneSelf {
			return i
		}
	}
	return len(s)
}

func isKeyboard(s string) bool {
	back := reverse(s)
	for _, row := range keyboards {
		if len(s) <= len(row) && (strings.Contains(row, s) || strings.Contains(row, back)) {
			return true
		}
	}
	return false
}

func reverse(s string) string {
	r := []rune(s)
	for i, j := 0, len(r)-1; i < j; i, j = i+1, j-1 {
		r[i], r[j] = r[j], r[i]
	}
	return string(r)
}
