package values

import (
	"regexp"
	"strconv"
	"strings"

	"counterfoil/parse/internal/phrase"
	"counterfoil/parse/listing"
	"counterfoil/parse/partno"
)

// wholeNumber is a whole number with or without grouping.
var wholeNumber = regexp.MustCompile(`[0-9]{1,3}(?:[.,' ][0-9]{3})+|[0-9]+`)

// otherCountWords turn the number before them into one that is not asked for.
var otherCountWords = phrase.NewSet(
	phrase.Of(true, "", "sold, watching, viewed, verkauft, beobachter, vendu*, vendid*, vendut*, sprzedan*, продано, 已售, 人付款"),
)

var lastOneWords = phrase.NewSet(
	phrase.Of(1, "", "last one, one left, one available, one, single, letztes stück, nur noch eins, dernier, dernière pièce, último, última unidad, ultimo pezzo, ostatnia sztuka, последний, последняя, 最后一件"),
	phrase.Of(2, "", "two, pair, zwei, paar, deux, paire, dos, par, due, coppia, dwa, dwie, para, два, две, пара, 两, 一对"),
)

// wholeOf finds the one whole number of a text: "more than 10" is 10.
func wholeOf(text string) (n int, ok bool) {
	if plainDigits(text) && len(text) <= 9 {
		n, err := strconv.Atoi(text)
		return n, err == nil
	}
	folded := phrase.Fold(text)
	found := -1
	for _, at := range wholeNumber.FindAllStringIndex(folded.Folded, 10) {
		if !standsAlone(folded.Folded, at[0], at[1]) {
			return 0, false
		}
		if m, other := otherCountWords.Find(folded, at[1]); other && strings.TrimSpace(folded.Folded[at[1]:m.Start]) == "" {
			continue
		}
		digits := strings.NewReplacer(".", "", ",", "", "'", "", " ", "").Replace(folded.Folded[at[0]:at[1]])
		value, err := strconv.Atoi(digits)
		if err != nil || len(digits) > 9 || found >= 0 && found != value {
			return 0, false
		}
		found = value
	}
	if found >= 0 {
		return found, true
	}
	n, ok = lastOneWords.Whole(folded)
	return n, ok
}

// standsAlone refuses a number that goes on with decimals, a minus sign or
// letters, as in "1.5", "-2" and "10k".
func standsAlone(text string, start, end int) bool {
	if start > 0 && strings.IndexByte("-.,/", text[start-1]) >= 0 {
		return false
	}
	if end == len(text) {
		return true
	}
	if strings.IndexByte(".,/-", text[end]) >= 0 {
		return end+1 == len(text) || text[end+1] < '0' || text[end+1] > '9'
	}
	return text[end] != '%' && !(text[end] == 'k' || text[end] == 'm' || text[end] == 'e')
}

func plainDigits(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return s != ""
}

func (s *setter) count() {
	n, ok := wholeOf(s.text)
	if !ok {
		s.unreadable("a whole number", "")
		return
	}
	s.put(strconv.Itoa(n))
}

// quantity reads the stock. A text without a number may still say whether the
// item is available.
func (s *setter) quantity() {
	if n, ok := wholeOf(s.text); ok {
		s.put(strconv.Itoa(n))
		return
	}
	if words := availabilityOf(s.text); len(words) == 1 {
		s.aside(listing.Availability, words[0])
		return
	}
	s.unreadable("a quantity", "")
}

func (s *setter) lotQuantity() {
	n, ok := wholeOf(s.text)
	if !ok {
		n, _, _, ok = partno.LotSize(s.text)
	}
	if !ok || n == 0 {
		s.unreadable("a number of units", "write how many units the price buys")
		return
	}
	s.put(strconv.Itoa(n))
}

var (
	percent      = regexp.MustCompile(`([0-9]{1,3}(?:[.,][0-9]{1,3})?) ?%`)
	ratingsCount = regexp.MustCompile(`\( ?([0-9]{1,3}(?:[.,' ][0-9]{3})+|[0-9]{1,9}) ?[^0-9)%]{0,40}\)|([0-9]{1,3}(?:[.,' ][0-9]{3})+|[0-9]{1,9}) ?(?:ratings?|reviews?|feedbacks?|bewertung|avis|evaluation|valoracion|opinion|recension|ocen|отзыв|оцен|条评价|评价)`)
	plainShare   = regexp.MustCompile(`^[0-9]{1,3}(?:[.,][0-9]{1,3})?$`)
)

// CountedRatings reads a plain whole number, as a number of ratings is written.
func CountedRatings(text string) (n int, ok bool) {
	text = strings.TrimSpace(text)
	if wholeNumber.FindString(text) != text {
		return 0, false
	}
	return wholeOf(text)
}

// feedback reads the share of positive ratings and, beside it, their number.
func (s *setter) feedback() {
	text := phrase.Folded(s.text)
	if s.hints.RatingsCounted {
		if n, ok := CountedRatings(text); ok {
			s.aside(listing.SellerFeedbackCount, strconv.Itoa(n))
			return
		}
	}
	share, count := "", ""
	if plainShare.MatchString(text) {
		share = text
	} else {
		if m := percent.FindStringSubmatch(text); m != nil {
			share = m[1]
			text = strings.Replace(text, m[0], " ", 1)
		}
		if m := ratingsCount.FindStringSubmatch(text); m != nil {
			count = strings.NewReplacer(".", "", ",", "", "'", "", " ", "").Replace(m[1] + m[2])
			s.aside(listing.SellerFeedbackCount, strings.TrimLeft(count[:len(count)-1], "0")+count[len(count)-1:])
		}
	}
	value, err := strconv.ParseFloat(strings.Replace(share, ",", ".", 1), 64)
	switch {
	case share == "" && count != "":
		// Only the number of ratings is told.
	case err != nil || value > 100:
		s.unreadable("a share of positive ratings", "write a percentage, such as 98.7 %")
	case value <= 5 && text == share && value != 0:
		s.unreadable("clearly a share: it may be stars", "write a percentage, such as 98.7 %")
	default:
		s.put(strconv.FormatFloat(value, 'f', -1, 64))
	}
}
