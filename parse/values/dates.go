package values

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"counterfoil/parse/internal/phrase"
	"counterfoil/parse/listing"
)

// monthWords are the names of the months. Source: Unicode CLDR, wide and
// abbreviated forms.
var monthWords = phrase.NewSet(
	phrase.Of(time.January, "", "january, jan, januar, jänner, janvier, janv, enero, ene, gennaio, gen, styczeń, stycznia, sty, январь, января, янв"),
	phrase.Of(time.February, "", "february, feb, februar, février, févr, fév, febrero, febbraio, luty, lutego, lut, февраль, февраля, февр, фев"),
	phrase.Of(time.March, "", "march, mar, märz, mär, mrz, mars, marzo, marzec, marca, март, марта, мар"),
	phrase.Of(time.April, "", "april, apr, avril, avr, abril, abr, aprile, kwiecień, kwietnia, kwi, апрель, апреля, апр"),
	phrase.Of(time.May, "", "may, mai, mayo, maggio, mag, maj, maja, май, мая"),
	phrase.Of(time.June, "", "june, jun, juni, juin, junio, giugno, giu, czerwiec, czerwca, cze, июнь, июня, июн"),
	phrase.Of(time.July, "", "july, jul, juli, juillet, juil, julio, luglio, lug, lipiec, lipca, lip, июль, июля, июл"),
	phrase.Of(time.August, "", "august, aug, août, agosto, ago, sierpień, sierpnia, sie, август, августа, авг"),
	phrase.Of(time.September, "", "september, sep, sept, septembre, septiembre, settembre, set, wrzesień, września, wrz, сентябрь, сентября, сент, сен"),
	phrase.Of(time.October, "", "october, oct, oktober, okt, octobre, octubre, ottobre, ott, październik, października, paź, октябрь, октября, окт"),
	phrase.Of(time.November, "", "november, nov, novembre, noviembre, listopad, listopada, lis, ноябрь, ноября, нояб, ноя"),
	phrase.Of(time.December, "", "december, dec, dezember, dez, décembre, déc, diciembre, dic, dicembre, grudzień, grudnia, gru, декабрь, декабря, дек"),
)

// The forms of a date written with digits; text before and behind is looked at
// by the caller. A time of day may follow.
var (
	isoDate    = regexp.MustCompile(`^([0-9]{4})([-/.])([0-9]{1,2})[-/.]([0-9]{1,2})`)
	isoMonth   = regexp.MustCompile(`^([0-9]{4})-([0-9]{2})$`)
	monthYear  = regexp.MustCompile(`^([0-9]{1,2})[./-]([0-9]{4})$`)
	hanDate    = regexp.MustCompile(`^([0-9]{4}) ?年 ?([0-9]{1,2}) ?月(?: ?([0-9]{1,2}) ?日)?`)
	otherDate  = regexp.MustCompile(`^([0-9]{1,2})([./-])([0-9]{1,2})[./-]([0-9]{4}|[0-9]{2})\b`)
	solidDate  = regexp.MustCompile(`^((?:19|20)[0-9]{2})([0-9]{2})([0-9]{2})$`)
	clock      = regexp.MustCompile(`^[t ,]*(?:at |um |à |o )?([0-9]{1,2}):([0-9]{2})(?::([0-9]{2})(?:[.,][0-9]{1,9})?)? ?(am|pm|a\.m\.|p\.m\.)? ?(z|utc|gmt|uhr|[+-][0-9]{2}:?[0-9]{2})?(?: ?[a-z]{2,5})?$`)
	yearNumber = regexp.MustCompile(`\b(?:19|20)[0-9]{2}\b`)
	anyNumber  = regexp.MustCompile(`[0-9]+`)
)

// sinceWords may stand before a date.
var sinceWords = phrase.NewSet(
	phrase.Of(true, "", "since, member since, seller since, joined, registered, on, seit, mitglied seit, verkäufer seit, registriert seit, angemeldet seit, aktiv seit, depuis, membre depuis, inscrit le, inscrit depuis, desde, miembro desde, dal, membro dal, iscritto dal, od, na portalu od, z nami od, użytkownik od, с, на сайте с, зарегистрирован, 注册于, 注册时间, 自, captured, retrieved, date, datum, data, дата, 日期"),
)

// ambiguousDate is a date whose day and month cannot be told apart.
type ambiguousDate struct{ text string }

func (e ambiguousDate) Error() string {
	return fmt.Sprintf("%q may be day/month or month/day", e.text)
}

func (s *setter) date() {
	value, err := readDate(s.text, s.dateOrder(), s.name == listing.SellerSince)
	switch err := err.(type) {
	case nil:
		s.put(value)
	case ambiguousDate:
		s.problem(listing.Partial, err.Error(), "write dates as 2025-12-31")
	default:
		s.unreadable("a date", "write dates as 2025-12-31")
	}
}

// dateOrder takes the order of the hints, else that of the language. English
// is written both ways, unless its region tells.
func (s *setter) dateOrder() DateOrder {
	if s.hints.DateOrder != OrderUnknown {
		return s.hints.DateOrder
	}
	tag := s.hints.Language
	if tag == "" {
		tag = s.listing.Value(listing.Language)
	}
	tag = strings.ToLower(tag)
	language, _, _ := strings.Cut(tag, "-")
	switch {
	case tag == "en-us":
		return MonthFirst
	case tag == "en-gb" || tag == "en-ie" || tag == "en-au" || tag == "en-nz":
		return DayFirst
	case strings.Contains(" de fr es it pl ru cs nl pt uk ", " "+language+" "):
		return DayFirst
	}
	return OrderUnknown
}

// readDate gives a date as RFC 3339; with a time of day only when its zone is
// known, since a time without a zone is no moment. Coarse allows a year, or a
// year and a month, and words before the date.
func readDate(raw string, order DateOrder, coarse bool) (string, error) {
	raw = strings.TrimSpace(raw)
	if len(raw) > 100 {
		return "", fmt.Errorf("too long for a date")
	}
	if len(raw) >= len("2006-01-02T15:04:05Z") {
		if t, err := time.Parse(time.RFC3339Nano, strings.ToUpper(raw)); err == nil {
			return t.Format(time.RFC3339), nil
		}
	}
	if plainDate(raw, coarse) {
		return raw, nil
	}
	folded := phrase.Fold(raw)
	text := strings.TrimSpace(folded.Folded)
	if m, ok := sinceWords.Find(folded, 0); ok && strings.TrimSpace(folded.Folded[:m.Start]) == "" {
		text = strings.TrimLeft(folded.Folded[m.End:], " :")
	}
	day, rest, err := dateIn(text, order)
	if err == nil {
		return withClock(day, rest)
	}
	if _, ok := err.(ambiguousDate); ok || !coarse {
		return "", err
	}
	return coarseDate(text)
}

// plainDate tells a date, or year and month, that is written as it is stored.
func plainDate(raw string, coarse bool) bool {
	if len(raw) < 5 || raw[4] != '-' {
		return false
	}
	layout := time.DateOnly
	if coarse && len(raw) == len(yearMonth) {
		layout = yearMonth
	}
	t, err := time.Parse(layout, raw)
	return err == nil && believable(t)
}

// yearMonth is the layout of a year and a month.
const yearMonth = "2006-01"

// believable leaves out what is no date of our time.
func believable(t time.Time) bool { return 1900 <= t.Year() && t.Year() <= 2200 }

func dateIn(text string, order DateOrder) (day time.Time, rest string, err error) {
	if m := isoDate.FindStringSubmatch(text); m != nil {
		day, err = civil(m[1], m[3], m[4])
		return day, text[len(m[0]):], err
	}
	if m := hanDate.FindStringSubmatch(text); m != nil && m[3] != "" {
		day, err = civil(m[1], m[2], m[3])
		return day, text[len(m[0]):], err
	}
	if m := solidDate.FindStringSubmatch(text); m != nil {
		day, err = civil(m[1], m[2], m[3])
		return day, "", err
	}
	if m := otherDate.FindStringSubmatch(text); m != nil {
		day, err = ordered(m[0], m[1], m[3], fullYear(m[4]), m[2], order)
		return day, text[len(m[0]):], err
	}
	return namedDate(text)
}

// ordered decides between day/month and month/day. Dates with full stops are
// written day first wherever they are written (CLDR short formats).
func ordered(text, a, b, year, separator string, order DateOrder) (time.Time, error) {
	x, _ := strconv.Atoi(a)
	y, _ := strconv.Atoi(b)
	switch {
	case x > 12 || separator == ".":
		return civil(year, b, a)
	case y > 12:
		return civil(year, a, b)
	case x == y || order == DayFirst:
		return civil(year, b, a)
	case order == MonthFirst:
		return civil(year, a, b)
	}
	return time.Time{}, ambiguousDate{text}
}

// fullYear completes a year of two digits, as POSIX strptime does: 69 to 99
// are in the twentieth century.
func fullYear(y string) string {
	switch {
	case len(y) == 4:
		return y
	case y >= "69":
		return "19" + y
	}
	return "20" + y
}

// namedDate reads a date with the name of the month: one number of four digits
// is the year, the other one the day.
func namedDate(text string) (time.Time, string, error) {
	none := fmt.Errorf("no date")
	m, ok := monthWords.Find(phrase.Text{Raw: text, Folded: text}, 0)
	if !ok {
		return time.Time{}, "", none
	}
	cut := len(text)
	if i := strings.IndexByte(text, ':'); i > m.End { // the time of day
		cut = strings.LastIndexAny(text[:i], " t,")
		if cut < m.End {
			return time.Time{}, "", none
		}
	}
	numbers := anyNumber.FindAllString(text[:cut], 3)
	if len(numbers) != 2 {
		return time.Time{}, "", none
	}
	day, year := numbers[0], numbers[1]
	if len(day) == 4 {
		day, year = year, day
	}
	if len(year) != 4 || len(day) > 2 {
		return time.Time{}, "", none
	}
	t, err := civil(year, strconv.Itoa(int(m.Value)), day)
	return t, strings.TrimSpace(text[cut:]), err
}

func coarseDate(text string) (string, error) {
	if m := isoMonth.FindStringSubmatch(text); m != nil {
		_, err := civil(m[1], m[2], "1")
		return text, err
	}
	if m := hanDate.FindStringSubmatch(text); m != nil {
		return monthOf(m[1], m[2])
	}
	if m := monthYear.FindStringSubmatch(text); m != nil {
		return monthOf(m[2], m[1])
	}
	years := yearNumber.FindAllString(text, 2)
	if len(years) != 1 || len(anyNumber.FindAllString(text, 2)) != 1 {
		return "", fmt.Errorf("no year")
	}
	if m, ok := monthWords.Find(phrase.Text{Raw: text, Folded: text}, 0); ok {
		return monthOf(years[0], strconv.Itoa(int(m.Value)))
	}
	return years[0], nil
}

func monthOf(year, month string) (string, error) {
	t, err := civil(year, month, "1")
	return t.Format(yearMonth), err
}

func civil(year, month, day string) (time.Time, error) {
	y, _ := strconv.Atoi(year)
	m, _ := strconv.Atoi(month)
	d, _ := strconv.Atoi(day)
	t := time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
	if t.Year() != y || int(t.Month()) != m || t.Day() != d || !believable(t) {
		return t, fmt.Errorf("no day of the calendar")
	}
	return t, nil
}

// withClock adds the time of day that follows a date, if its zone is told.
func withClock(day time.Time, rest string) (string, error) {
	date := day.Format("2006-01-02")
	rest = strings.Trim(rest, " ,.")
	rest = strings.TrimSuffix(strings.TrimSuffix(rest, "г"), "r")
	if rest == "" {
		return date, nil
	}
	m := clock.FindStringSubmatch(rest)
	if m == nil {
		return "", fmt.Errorf("more than a date")
	}
	zone := m[5]
	if zone == "" || zone == "uhr" {
		return date, nil
	}
	if zone == "utc" || zone == "gmt" {
		zone = "z"
	}
	if len(zone) == 5 {
		zone = zone[:3] + ":" + zone[3:]
	}
	seconds := m[3]
	if seconds == "" {
		seconds = "00"
	}
	hour, _ := strconv.Atoi(m[1])
	if strings.HasPrefix(m[4], "p") && hour < 12 {
		hour += 12
	} else if strings.HasPrefix(m[4], "a") && hour == 12 {
		hour = 0
	}
	t, err := time.Parse(time.RFC3339, fmt.Sprintf("%sT%02d:%s:%s%s", date, hour, m[2], seconds, strings.ToUpper(zone)))
	if err != nil {
		return "", err
	}
	return t.Format(time.RFC3339), nil
}

// OrderOf tells whether a date written with digits shows beyond doubt that the
// day, or the month, stands first.
func OrderOf(text string) DateOrder {
	m := otherDate.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil || m[2] == "." {
		return OrderUnknown
	}
	a, _ := strconv.Atoi(m[1])
	b, _ := strconv.Atoi(m[3])
	switch {
	case a > 12 && a <= 31 && b <= 12:
		return DayFirst
	case b > 12 && b <= 31 && a <= 12:
		return MonthFirst
	}
	return OrderUnknown
}
