package ocr

import (
	"strconv"
	"strings"
	"unicode"

	"counterfoil/parse/listing"
)

// word is one word as the program read it.
type word struct {
	Text string      `json:"t"`
	Conf float64     `json:"c"` // 0 to 1, the program's own
	Box  listing.Box `json:"b"`
	Line int         `json:"l"` // words of one line have one number
}

// Bounds of what is kept of an answer.
const (
	maxWords    = 200
	leastConf   = 0.2
	maxWordText = 40 // bytes
)

// parseWords reads the table of an answer: level, page, block, paragraph, line,
// word, left, top, width, height, confidence, text, parted by tabs. Lines of
// another form are passed over, and so are words without two letters or digits.
func parseWords(table []byte) []word {
	var out []word
	line, last := 0, ""
	for row := range strings.Lines(string(table)) {
		cells := strings.Split(strings.TrimRight(row, "\r\n"), "\t")
		if len(cells) != 12 || cells[0] != "5" {
			continue
		}
		if at := strings.Join(cells[1:5], "."); at != last {
			line, last = line+1, at
		}
		var n [4]int
		sound := true
		for i := range n {
			v, err := strconv.Atoi(cells[6+i])
			n[i] = v
			sound = sound && err == nil && v >= 0 && v < 1<<20
		}
		conf, err := strconv.ParseFloat(cells[10], 64)
		text := strings.ToValidUTF8(cells[11], "")
		if !sound || err != nil || !(conf >= 100*leastConf && conf <= 100) || len(text) > maxWordText || signs(text) < 2 {
			continue
		}
		out = append(out, word{text, conf / 100, listing.Box{Left: n[0], Top: n[1], Right: n[0] + n[2], Bottom: n[1] + n[3]}, line})
		if len(out) == maxWords {
			break
		}
	}
	return out
}

// signs counts letters and digits.
func signs(s string) (n int) {
	for _, r := range s {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			n++
		}
	}
	return n
}

func digits(s string) (n int) {
	for _, r := range s {
		if r >= '0' && r <= '9' {
			n++
		}
	}
	return n
}

// wellRead is the confidence from which a word is kept as lettering.
const wellRead = 0.6

// lettering writes down the words that the best pass read well: the one with the
// most letters and digits in them.
func lettering(passes [][]word) string {
	best, most := "", 0
	for _, words := range passes {
		var b strings.Builder
		line, n := 0, 0
		for _, w := range words {
			if w.Conf < wellRead {
				continue
			}
			switch {
			case b.Len() == 0:
			case w.Line == line:
				b.WriteByte(' ')
			default:
				b.WriteByte('\n')
			}
			b.WriteString(w.Text)
			line, n = w.Line, n+signs(w.Text)
		}
		if n > most {
			best, most = b.String(), n
		}
	}
	return listing.Shorten(best, listing.LetteringLimit)
}
