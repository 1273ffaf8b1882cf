package partno

import (
	"strconv"
	"strings"

	"counterfoil/parse/internal/phrase"
)

// lotRule says where the count of a lot stands.
type lotRule uint8

const (
	countBehind lotRule = iota // "lot of 2"
	countBefore                // "2 pcs"
	two                        // "pair"
)

// lotWords are the words for several units sold together. Common practice, no
// source; native review needed.
var lotWords = phrase.NewSet(
	phrase.Of(countBehind, "", "lot of, set of, pack of, box of, bundle of, case of, qty, qty., quantity, menge, anzahl, satz von, satz zu, lot de, jeu de, quantité, lote de, juego de, cantidad, lotto di, lotto da, set da, set di, quantità, zestaw, komplet, ilość, комплект из, набор из, количество, 数量"),
	phrase.Of(countBefore, "", "pc, pcs, pc., pcs., piece, pieces, unit, units, stk, stk., stück, stueck, st., pièce, pièces, unité, unités, unidad, unidades, uds, pezzo, pezzi, pz, pz., szt, szt., sztuk, sztuka, sztuki, шт, шт., штук, штуки, 个, 件, 台, 只, 套, er set, er-set, er pack, er-pack, er satz"),
	phrase.Of(two, "", "pair of, pair, 1 pair, doppelpack, paire de, par de, coppia di, para turbo*, пара турбин, 一对, 两台, 两个, 两只"),
)

// maxLot bounds a believable lot; a larger number is something else.
const maxLot = 1000

// Lot finds the first statement of a lot. Its N is 0 when the text states none.
func (s *Search) Lot() Lot {
	text := s.text.Folded
	for _, m := range lotWords.All(s.text) {
		start, end, n := m.Start, m.End, 0
		switch m.Value {
		case countBehind:
			i := end
			for i < len(text) && (text[i] == ' ' || text[i] == ':') {
				i++
			}
			n, end = count(text, i)
		case countBefore:
			i := len(strings.TrimRight(text[:start], " -"))
			n, start = countBackwards(text, i)
		case two:
			n = 2
		}
		if n > 0 && s.isLot(start, end) {
			i, j := s.text.Span(start, end)
			return Lot{n, i, j}
		}
	}
	return s.timesLot()
}

// timesLot reads "2x", "2 × " before a word, and "x 2", "(x2)" behind one.
func (s *Search) timesLot() Lot {
	text := s.text.Folded
	for i := 0; i < len(text); i++ {
		size := 0
		switch {
		case text[i] == 'x':
			size = 1
		case strings.HasPrefix(text[i:], "×"):
			size = len("×")
		default:
			continue
		}
		start, end, n := timesBefore(text, i, size)
		if n == 0 {
			start, end, n = timesBehind(text, i, size)
		}
		if n > 0 && s.isLot(start, end) {
			a, b := s.text.Span(start, end)
			return Lot{n, a, b}
		}
	}
	return Lot{}
}

// timesBefore reads "2x turbo". A number behind the sign makes it a size or a
// drive ("4x4", "2 x 80 mm").
func timesBefore(text string, i, size int) (start, end, n int) {
	head := strings.TrimSuffix(text[:i], " ")
	rest := strings.TrimLeft(text[i+size:], " ")
	if rest == "" || isDigit(rest[0]) || letterAfter(text, i+size) {
		return 0, 0, 0
	}
	n, start = countBackwards(text, len(head))
	return start, i + size, n
}

// timesBehind reads "turbo x 2" and "(x2)". A bare "x3" may be a car model.
func timesBehind(text string, i, size int) (start, end, n int) {
	before := strings.TrimRight(text[:i], " ")
	if letterBefore(text, i) || before != "" && isDigit(before[len(before)-1]) {
		return 0, 0, 0
	}
	rest := text[i+size:]
	bracketed := strings.HasSuffix(before, "(")
	if size == 1 && !strings.HasPrefix(rest, " ") && !bracketed {
		return 0, 0, 0
	}
	at := i + size + len(rest) - len(strings.TrimLeft(rest, " "))
	n, end = count(text, at)
	closing := strings.TrimLeft(text[end:], " ")
	if closing != "" && !strings.ContainsRune("),;.!|-", rune(closing[0])) {
		return 0, 0, 0
	}
	return i, end, n
}

// count reads a whole number at i that stands alone.
func count(text string, i int) (n, end int) {
	end = i
	for end < len(text) && isDigit(text[end]) {
		end++
	}
	if end == i || letterAfter(text, end) && text[end] != 'x' {
		return 0, end
	}
	if end+1 < len(text) && strings.ContainsRune(".,/-", rune(text[end])) && isDigit(text[end+1]) {
		return 0, end
	}
	return lotNumber(text[i:end]), end
}

func countBackwards(text string, end int) (n, start int) {
	start = end
	for start > 0 && isDigit(text[start-1]) {
		start--
	}
	if start == end || letterBefore(text, start) || start > 0 && strings.ContainsRune(".,/-+#", rune(text[start-1])) {
		return 0, start
	}
	return lotNumber(text[start:end]), start
}

func lotNumber(s string) int {
	n, err := strconv.Atoi(s)
	if err != nil || n > maxLot || s[0] == '0' {
		return 0
	}
	return n
}

// isLot leaves out stock ("10 pcs available"), accessories ("with 4 pcs") and
// smallest orders.
func (s *Search) isLot(start, end int) bool {
	if m, ok := stockWords.Find(s.text, end); ok && strings.Trim(s.text.Folded[end:m.Start], " .,)(") == "" {
		return false
	}
	head := s.text.Folded[:start]
	before := phrase.Text{Raw: head, Folded: head}
	for _, set := range []*phrase.Set[bool]{besideWords, stockWords} {
		for _, m := range set.All(before) {
			if strings.Trim(head[m.End:], " .:") == "" {
				return false
			}
		}
	}
	return !strings.HasSuffix(strings.TrimRight(head, " "), "+") && !strings.HasSuffix(strings.TrimRight(head, " "), "/")
}
