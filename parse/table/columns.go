package table

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"github.com/hbollon/go-edlib"
	"github.com/sahilm/fuzzy"

	"counterfoil/parse/internal/phrase"
	"counterfoil/parse/listing"
)

// Bounds for taking a header that is spelled a little differently: its
// Jaro-Winkler similarity to a known header, the lead over the next field, and
// the edits at most. Proposals, not measured on outside data.
const (
	similarEnough = 0.92
	similarLead   = 0.03
	editsAtMost   = 2
)

// MatchColumns finds the field of each header: by the user's table, by the
// canonical name, by a synonym, or by a spelling close to one of them. A
// header that may be two fields, or two headers that are the same field by the
// same right, are not used.
func MatchColumns(header []string, user map[string]listing.Name) []ColumnMatch {
	list := make([]ColumnMatch, len(header))
	for i, h := range header {
		list[i] = exactMatch(h, user)
		if list[i].Field != listing.NoField || list[i].Reason != "" {
			continue
		}
		list[i].Reason = unknownName
		if i < maxSpelled {
			list[i] = similarMatch(h)
		}
	}
	settlePlainCountry(list)
	resolveTwins(list)
	return list
}

// matches counts the headers that are known without guessing.
func matches(header []string, user map[string]listing.Name) int {
	n := 0
	for _, h := range header {
		if m := exactMatch(h, user); m.Field != listing.NoField {
			n++
		}
	}
	return n
}

const unknownName = "no field has such a name"

// maxHeader is how much of a header is kept, in runes.
const maxHeader = 200

// maxSpelled bounds the columns whose spelling is looked at.
const maxSpelled = 200

func matchHeader(header string, user map[string]listing.Name) ColumnMatch {
	m := exactMatch(header, user)
	if m.Field != listing.NoField || m.Reason != "" {
		return m
	}
	return similarMatch(header)
}

func exactMatch(header string, user map[string]listing.Name) ColumnMatch {
	m := ColumnMatch{Header: listing.Shorten(strings.TrimSpace(header), maxHeader), How: NotUsed}
	if m.Header == "" {
		m.Reason = "it has no name"
		return m
	}
	key := headerKey(m.Header)
	if n, ok := userField(m.Header, key, user); ok {
		m.Field, m.How = n, ByUser
		if n == listing.NoField {
			m.Reason = "the columns file says so"
		}
		return m
	}
	if n, ok := canonicalNames()[key]; ok {
		m.Field, m.How = n, ByName
		return m
	}
	fields := synonymFields()[key]
	if base, ok := withoutCurrency(key); ok && len(fields) == 0 {
		fields = fieldsOf(base)
		if !slices.ContainsFunc(fields, isSum) {
			fields = nil
		}
	}
	if len(fields) == 0 {
		fields = bareFields()[bareKey(key)]
	}
	if len(fields) == 0 {
		fields = joinedFields(m.Header)
	}
	switch len(fields) {
	case 0:
	case 1:
		m.Field, m.How = fields[0], BySynonym
		if m.Field == listing.CountryOfOrigin && slices.Contains(plainCountry, key) {
			m.How = byPlainCountry
		}
	default:
		m.Reason = "it may be " + joinNames(fields)
	}
	return m
}

// joinedFields reads a header of several names for one field, such as
// "EAN/UPC". Names of two fields give none.
func joinedFields(header string) []listing.Name {
	names := strings.FieldsFunc(header, func(r rune) bool { return r == '/' || r == '|' })
	if len(names) < 2 {
		return nil
	}
	var fields []listing.Name
	for _, name := range names {
		of := fieldsOf(headerKey(name))
		if len(of) != 1 || len(fields) > 0 && of[0] != fields[0] {
			return nil
		}
		fields = of
	}
	return fields
}

// withoutCurrency takes the currency from the end of "price eur" and "preis in
// eur".
func withoutCurrency(key string) (string, bool) {
	i := strings.LastIndexByte(key, ' ')
	if i < 0 {
		return key, false
	}
	if _, ok := listing.MinorUnits(strings.ToUpper(key[i+1:])); !ok && key[i+1:] != "euro" {
		return key, false
	}
	return strings.TrimSuffix(key[:i], " in"), true
}

func isSum(n listing.Name) bool {
	return n == listing.Price || n == listing.Shipping || n == listing.CoreDeposit || n == listing.PriceWas
}

func userField(header, key string, user map[string]listing.Name) (listing.Name, bool) {
	if n, ok := user[header]; ok {
		return n, true
	}
	// The same header in another case or spacing.
	var names []string
	for name := range user {
		if headerKey(name) == key {
			names = append(names, name)
		}
	}
	if len(names) == 0 {
		return listing.NoField, false
	}
	slices.Sort(names)
	return user[names[0]], true
}

func joinNames(fields []listing.Name) string {
	var names []string
	for _, n := range fields {
		names = append(names, n.String())
	}
	return strings.Join(names, " or ")
}

// headerKey brings a header to the form in which headers are compared: folded,
// words separated by one space, words run together in "camelCase" apart, and
// a currency or unit in brackets left out ("Price (EUR)").
func headerKey(header string) string {
	var b strings.Builder
	var before rune
	for _, r := range header {
		if unicode.IsUpper(r) && unicode.IsLower(before) {
			b.WriteByte(' ')
		}
		b.WriteRune(r)
		before = r
	}
	folded := phrase.Folded(b.String())
	if i := strings.IndexAny(folded, "(["); i > 0 {
		folded = folded[:i]
	}
	words := strings.FieldsFunc(folded, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '#' && r != '%'
	})
	return strings.Join(words, " ")
}

// similarMatch looks for a known header of nearly the same spelling. sahilm/fuzzy
// finds the candidates, both ways round, since it knows only subsequences.
func similarMatch(header string) ColumnMatch {
	m := ColumnMatch{Header: strings.TrimSpace(header), How: NotUsed, Reason: unknownName}
	key := headerKey(header)
	if n := len([]rune(key)); n < 5 || n > 50 {
		return m
	}
	score := map[listing.Name]float32{}
	spelled := map[listing.Name]string{}
	for _, name := range candidates(key) {
		s := edlib.JaroWinklerSimilarity(key, name)
		if s < similarEnough || edlib.OSADamerauLevenshteinDistance(key, name) > editsAtMost {
			continue
		}
		for _, n := range fieldsOf(name) {
			if s > score[n] {
				score[n], spelled[n] = s, name
			}
		}
	}
	best, second := listing.NoField, listing.NoField
	for _, n := range listing.Names() {
		switch {
		case score[n] > score[best]:
			best, second = n, best
		case score[n] > score[second]:
			second = n
		}
	}
	switch {
	case score[best] == 0:
	case score[best]-score[second] < similarLead:
		m.Reason = "it is spelled like " + joinNames([]listing.Name{best, second})
	default:
		m.Field, m.How = best, BySpell
		m.Reason = fmt.Sprintf("spelled like %q, similarity %.2f", spelled[best], score[best])
	}
	return m
}

func fieldsOf(key string) []listing.Name {
	if n, ok := canonicalNames()[key]; ok {
		return []listing.Name{n}
	}
	return synonymFields()[key]
}

// candidates lists the known headers that share most letters with the key.
func candidates(key string) []string {
	runes := []rune(key)
	var near []string
	for _, name := range knownHeaders() {
		if d := len([]rune(name)) - len(runes); d >= -editsAtMost && d <= editsAtMost && strings.Count(key, " ") == strings.Count(name, " ") {
			near = append(near, name)
		}
	}
	var found []string
	add := func(pattern string) {
		for _, match := range fuzzy.FindNoSort(pattern, near) {
			found = append(found, match.Str)
		}
	}
	add(key)
	for _, name := range near {
		if len(fuzzy.FindNoSort(name, []string{key})) > 0 {
			found = append(found, name)
		}
	}
	// A wrong letter is a subsequence neither way: drop one letter of the key.
	for i := range runes {
		add(string(runes[:i]) + string(runes[i+1:]))
	}
	slices.Sort(found)
	return slices.Compact(found)
}

// byPlainCountry is a match of a header that says no more than 'country': the
// origin, unless another column says so more clearly, and the seller's then.
const byPlainCountry = "plain country"

// plainCountry lists the headers that say no more.
var plainCountry = []string{"country", "land", "pays", "país", "pais", "paese", "kraj", "страна", "国家"}

// strength orders the ways of matching.
var strength = map[string]int{ByUser: 4, ByName: 3, BySynonym: 2, BySpell: 1}

// settlePlainCountry gives a column headed 'country' to the origin, or to the
// seller's location when the origin has a column of its own.
func settlePlainCountry(list []ColumnMatch) {
	taken := func(n listing.Name) bool {
		return slices.ContainsFunc(list, func(m ColumnMatch) bool { return m.Field == n && m.How != byPlainCountry })
	}
	origin, location := taken(listing.CountryOfOrigin), taken(listing.SellerLocation)
	for i := range list {
		if list[i].How != byPlainCountry {
			continue
		}
		list[i].How = BySynonym
		if origin && !location {
			list[i].Field = listing.SellerLocation
		}
	}
}

// resolveTwins leaves at most one column for each field: the one matched by
// the strongest right; two by the same right are both left out.
func resolveTwins(list []ColumnMatch) {
	byField := map[listing.Name][]int{}
	for i, m := range list {
		if m.Field != listing.NoField {
			byField[m.Field] = append(byField[m.Field], i)
		}
	}
	for _, n := range listing.Names() {
		same := byField[n]
		if len(same) < 2 {
			continue
		}
		top, count := 0, 0
		for _, i := range same {
			switch s := strength[list[i].How]; {
			case s > top:
				top, count = s, 1
			case s == top:
				count++
			}
		}
		for _, i := range same {
			if strength[list[i].How] == top && count == 1 {
				continue
			}
			var others []string
			for _, j := range same {
				if j != i {
					others = append(others, fmt.Sprintf("%q", list[j].Header))
				}
			}
			list[i].Field, list[i].How = listing.NoField, NotUsed
			list[i].Reason = fmt.Sprintf("%s is %s too", strings.Join(others, " and "), n)
		}
	}
}
