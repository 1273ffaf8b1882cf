package ocr

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"counterfoil/parse/listing"
)

// What a text may be.
type class int

const (
	serial class = iota
	part
	brand
)

// candidate is a text that may be a number or a name.
type candidate struct {
	class      class
	value, raw string
	conf       float64
	box        listing.Box
	pass       int
}

// Factors on the confidence of words (this project's judgement).
const (
	oncePass  = 0.9  // seen in one pass of several
	repaired  = 0.75 // only after exchanging look-alike characters
	labelOnly = 0.8  // beside a label such as S/N, but of no form that is known
)

// Bounds of what is made of the words of a pass.
const (
	maxJoined   = 4 // words of one number
	maxNumber   = 32
	leastNumber = 5
	maxReadings = 12
)

// fieldOf names the field that a text of a class has in a view.
func fieldOf(c class, view string) listing.Name {
	switch {
	case c == brand:
		return listing.Brand
	case c == serial && view == listing.ViewSerialPlate:
		return listing.PlateSerial
	case c == serial && view == listing.ViewBoxLabel:
		return listing.BoxSerial
	case c == serial:
		return listing.SerialNumber
	case view == listing.ViewSerialPlate:
		return listing.PlatePartNumber
	}
	return listing.PartNumber
}

// readings makes readings of the words of several passes over a picture of a
// view: texts at one place are one reading, whose confidence falls when the
// passes differ. They are ordered by field, then by confidence.
func readings(passes [][]word, view string, pat Patterns) []listing.Reading {
	var all []candidate
	for i, words := range passes {
		maker := ""
		for _, c := range names(words, pat) {
			c.pass = i
			all = append(all, c)
			maker = cmp.Or(maker, c.value)
		}
		for _, c := range numbers(words, maker, pat) {
			c.pass = i
			all = append(all, c)
		}
	}
	var out []listing.Reading
	for _, group := range places(all) {
		c, conf := elect(group)
		out = append(out, listing.Reading{Field: fieldOf(c.class, view), Value: c.value, Raw: c.raw, Confidence: conf, Box: c.box})
	}
	slices.SortStableFunc(out, func(a, b listing.Reading) int {
		return cmp.Or(cmp.Compare(a.Field, b.Field), cmp.Compare(b.Confidence, a.Confidence), cmp.Compare(a.Value, b.Value))
	})
	return out[:min(len(out), maxReadings)]
}

// places puts candidates of one class that stand at one place together.
func places(all []candidate) (groups [][]candidate) {
	for _, c := range all {
		at := slices.IndexFunc(groups, func(g []candidate) bool {
			return g[0].class == c.class && overlap(g[0].box, c.box)
		})
		if at < 0 {
			groups = append(groups, []candidate{c})
			continue
		}
		groups[at] = append(groups[at], c)
	}
	return groups
}

// overlap says whether two boxes share half of the smaller one.
func overlap(a, b listing.Box) bool {
	w := min(a.Right, b.Right) - max(a.Left, b.Left)
	h := min(a.Bottom, b.Bottom) - max(a.Top, b.Top)
	area := func(b listing.Box) int { return (b.Right - b.Left) * (b.Bottom - b.Top) }
	return w > 0 && h > 0 && 2*w*h >= min(area(a), area(b))
}

// elect gives the text that most confidence stands behind. Each pass has one
// vote at each place.
func elect(group []candidate) (best candidate, conf float64) {
	sum, votes := map[string]float64{}, map[string]int{}
	total := 0.0
	byPass := map[int]bool{}
	slices.SortStableFunc(group, func(a, b candidate) int { return cmp.Compare(b.conf, a.conf) })
	for _, c := range group {
		if byPass[c.pass] {
			continue
		}
		byPass[c.pass] = true
		sum[c.value] += c.conf
		votes[c.value]++
		total += c.conf
	}
	for _, c := range group { // the surest of each value comes first
		if sum[c.value] > sum[best.value] {
			best = c
		}
	}
	conf = best.conf * sum[best.value] / total
	if votes[best.value] < 2 {
		conf *= oncePass
	}
	return best, conf
}

// names finds the makers' names.
func names(words []word, pat Patterns) (list []candidate) {
	if pat.Brand == nil {
		return nil
	}
	for i := range words {
		for n := 1; n <= 2 && i+n <= len(words) && words[i+n-1].Line == words[i].Line; n++ {
			c := joined(words[i:i+n], " ")
			if maker, ok := pat.Brand(trimmed(c.raw)); ok {
				c.class, c.value = brand, maker
				list = append(list, c)
			}
		}
	}
	return list
}

// joined is the text of words that stand beside each other.
func joined(words []word, between string) candidate {
	c := candidate{conf: 1, box: words[0].Box}
	var texts []string
	for _, w := range words {
		texts = append(texts, w.Text)
		c.conf = min(c.conf, w.Conf)
		c.box = listing.Box{Left: min(c.box.Left, w.Box.Left), Top: min(c.box.Top, w.Box.Top),
			Right: max(c.box.Right, w.Box.Right), Bottom: max(c.box.Bottom, w.Box.Bottom)}
	}
	c.raw = strings.Join(texts, between)
	return c
}

// trimmed takes off what is neither letter nor digit at both ends.
func trimmed(s string) string {
	return strings.TrimFunc(s, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// numbers finds serials and part numbers. maker is the name that was read in the
// same picture, "" when none was.
func numbers(words []word, maker string, pat Patterns) (list []candidate) {
	for i := 0; i < len(words); i++ {
		taken := 0
		for n := min(maxJoined, len(words)-i); n >= 1 && taken == 0; n-- {
			run := words[i : i+n]
			if run[n-1].Line != run[0].Line || n > 1 && slices.ContainsFunc(run, func(w word) bool { return digits(w.Text) < 2 }) {
				continue
			}
			c := joined(run, " ")
			if n > 1 && strings.ContainsAny(c.raw, ":#") {
				continue // a label stands between two numbers
			}
			if identify(&c, labelBefore(words[:i], run[0].Line), maker, pat) {
				list = append(list, c)
				taken = n
			}
		}
		i += max(taken-1, 0)
	}
	return list
}

// identify tells what a text is, by the makers' patterns or by the label before
// it.
func identify(c *candidate, label string, maker string, pat Patterns) bool {
	text := trimmed(c.raw)
	if i := strings.LastIndexAny(text, ":#"); i >= 0 {
		text = trimmed(text[i+1:])
	}
	if len(text) < leastNumber || len(text) > maxNumber || digits(text) < 3 {
		return false
	}
	if matches(c, text, label, maker, pat) {
		return true
	}
	if fixed, ok := repair(text, func(s string) bool { var t candidate; return matches(&t, s, label, maker, pat) }); ok {
		c.conf *= repaired
		return matches(c, fixed, label, maker, pat)
	}
	if label == "" || strings.Contains(text, " ") {
		return false
	}
	c.class, c.value = part, strings.ToUpper(text)
	if label == serialLabel {
		c.class = serial
	}
	c.conf *= labelOnly
	return true
}

// matches holds a text against the makers' patterns. A text that can be either
// is what the label before it says, else a part number.
func matches(c *candidate, text, label, maker string, pat Patterns) bool {
	text = strings.ToUpper(text)
	if pat.Part != nil && label != serialLabel {
		if number, ok := pat.Part(maker, text); ok {
			c.class, c.value = part, number
			return true
		}
	}
	if pat.Serial != nil && label != partLabel && pat.Serial(maker, text) {
		c.class, c.value = serial, listing.CanonicalNumber(text)
		return true
	}
	return false
}

// Labels before a number.
const (
	serialLabel = "serial"
	partLabel   = "part"
)

var labelWords = map[string]string{
	"SN": serialLabel, "SIN": serialLabel, "SERIAL": serialLabel, "SERIALNO": serialLabel, "SERNO": serialLabel, "SERIENNR": serialLabel,
	"SERIENNUMMER": serialLabel, "PN": partLabel, "PIN": partLabel, "PART": partLabel, "PARTNO": partLabel, "PARTNUMBER": partLabel,
	"TEILENR": partLabel, "TEILENUMMER": partLabel, "ARTNR": partLabel,
}

// labelBefore tells the label that the last three words of the line are.
func labelBefore(before []word, line int) string {
	text := ""
	for n := len(before) - 1; n >= 0 && n >= len(before)-3 && before[n].Line == line; n-- {
		text = letters(before[n].Text) + text
		if l := labelWords[text]; l != "" {
			return l
		}
	}
	return ""
}

func letters(s string) string {
	return strings.Map(func(r rune) rune {
		if r = unicode.ToUpper(r); r >= 'A' && r <= 'Z' {
			return r
		}
		return -1
	}, s)
}

// lookAlike are the characters that are taken for each other.
var lookAlike = map[byte]string{'0': "OQD", 'O': "0", 'Q': "0", 'D': "0", '1': "IL", 'I': "1", 'L': "1", '8': "B", 'B': "8",
	'5': "S", 'S': "5", '2': "Z", 'Z': "2", '6': "G", 'G': "6"}

// maxExchanged bounds the characters exchanged in one number.
const maxExchanged = 2

// repair exchanges look-alike characters until the text fits; ok is true only
// when there is one way with the fewest exchanges.
func repair(text string, fits func(string) bool) (fixed string, ok bool) {
	level := []string{strings.ToUpper(text)}
	for range maxExchanged {
		var next []string
		for _, s := range level {
			for i := range len(s) {
				for _, r := range lookAlike[s[i]] {
					next = append(next, s[:i]+string(r)+s[i+1:])
				}
			}
		}
		slices.Sort(next)
		level = slices.Compact(next)
		var fitting []string
		for _, s := range level {
			if fits(s) {
				fitting = append(fitting, s)
			}
		}
		if len(fitting) > 0 {
			return fitting[0], len(fitting) == 1
		}
	}
	return "", false
}

// told says which view the words of a picture tell, and the words: plates have
// abbreviations and no quantity, box labels write them out.
func told(passes [][]word) (view, sign string) {
	var plate, box string
	for _, words := range passes {
		for _, w := range words {
			if w.Conf < 0.6 {
				continue
			}
			switch l := letters(w.Text); {
			case strings.EqualFold(w.Text, "S/N"), strings.EqualFold(w.Text, "P/N"), l == "TYPE":
				plate = cmp.Or(plate, w.Text)
			case l == "QTY", l == "QUANTITY", l == "SERIAL", l == "PART":
				box = cmp.Or(box, w.Text)
			}
		}
	}
	switch {
	case plate != "" && box == "":
		return listing.ViewSerialPlate, plate
	case box != "" && plate == "":
		return listing.ViewBoxLabel, box
	}
	return "", ""
}
