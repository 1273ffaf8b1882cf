package sellers

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
)

// jaro is the similarity of Jaro (1989): the mean of the shares of common
// letters in both words and of the common letters in their order. Letters are
// common when they stand no farther apart than half of the longer word less one.
func jaro(a, b []rune) float64 {
	if len(a) == 0 || len(b) == 0 {
		return 0
	}
	window := max(len(a), len(b))/2 - 1
	usedA, usedB := make([]bool, len(a)), make([]bool, len(b))
	common := 0
	for i := range a {
		for j := max(0, i-window); j < min(len(b), i+window+1); j++ {
			if !usedB[j] && a[i] == b[j] {
				usedA[i], usedB[j] = true, true
				common++
				break
			}
		}
	}
	if common == 0 {
		return 0
	}
	swapped, j := 0, 0
	for i := range a {
		if !usedA[i] {
			continue
		}
		for !usedB[j] {
			j++
		}
		if a[i] != b[j] {
			swapped++
		}
		j++
	}
	c := float64(common)
	return (c/float64(len(a)) + c/float64(len(b)) + (c-float64(swapped)/2)/c) / 3
}

// jaroWinkler raises [jaro] for a common beginning of up to four letters, by a
// tenth of what is missing for each (Winkler 1990; examples in Winkler 2006,
// 'Overview of Record Linkage and Current Research Directions').
func jaroWinkler(a, b []rune) float64 {
	j := jaro(a, b)
	same := 0
	for same < min(4, len(a), len(b)) && a[same] == b[same] {
		same++
	}
	return j + float64(same)*0.1*(1-j)
}

const (
	// alikeFrom is the similarity from which two names are alike: engineering
	// choice, one changed letter in eight.
	alikeFrom = 0.94
	// onlyAlike is the most in decibans that names of different stems weigh.
	onlyAlike = 5
	// leastName is the least length of a name, or of its stem, that is compared.
	leastName = 6
	// maxBlock bounds the names that are compared among themselves.
	maxBlock = 200
)

// tails are words that accounts hang on a name to have another: common practice,
// no source.
var tails = map[string]bool{"shop": true, "store": true, "de": true, "eu": true, "uk": true, "pl": true, "it": true, "fr": true, "es": true, "us": true,
	"com": true, "net": true, "online": true, "outlet": true, "official": true, "new": true, "pro": true, "plus": true, "24": true, "germany": true,
	"europe": true, "international": true, "global": true, "trade": true, "trading": true, "sales": true, "direct": true, "group": true}

// stem is a name without what accounts vary: digits at its ends, blanks and
// tails. A name of tails alone has none.
func stem(normal string) string {
	s := strings.ReplaceAll(stemWords(normal), " ", "")
	if tails[s] {
		return ""
	}
	return s
}

// stemWords is the stem with its blanks.
func stemWords(normal string) string {
	words := strings.Fields(normal)
	for len(words) > 1 {
		last := strings.Trim(words[len(words)-1], "0123456789")
		if last != "" && !tails[last] {
			break
		}
		words = words[:len(words)-1]
	}
	return strings.TrimFunc(strings.Join(words, " "), unicode.IsDigit)
}

// named is a name with the accounts that carry it.
type named struct {
	normal, stem string
	letters      []rune
	quotes       []Quote // by seller
}

// alike gives the names that differ but are nearly one: of one stem, or of a
// Jaro-Winkler similarity of at least alikeFrom, compared in blocks of the same
// first four or last four letters. Names within a block of more than maxBlock
// are too common to say anything.
func alike(names []named, words *wordCounts) []Value {
	slices.SortFunc(names, func(a, b named) int { return strings.Compare(a.normal, b.normal) })
	byStem := map[string][]int{}
	blocks := map[string][]int{}
	for i, n := range names {
		if len([]rune(n.stem)) >= leastName {
			byStem[n.stem] = append(byStem[n.stem], i)
		}
		if len(n.letters) >= leastName {
			blocks["^"+string(n.letters[:4])] = append(blocks["^"+string(n.letters[:4])], i)
			blocks[string(n.letters[len(n.letters)-4:])+"$"] = append(blocks[string(n.letters[len(n.letters)-4:])+"$"], i)
		}
	}
	var out []Value
	for _, s := range sortedKeys(byStem) {
		list := byStem[s]
		if len(list) < 2 {
			continue
		}
		v := Value{Kind: NameAlike, Text: s, Most: priors[NameAlike].cap}
		for _, i := range list {
			v.Quotes = append(v.Quotes, names[i].quotes...)
		}
		v = v.sorted()
		for _, i := range list {
			v.Most = min(v.Most, words.most(NameAlike, names[i].normal))
		}
		out = append(out, v)
	}
	done := map[[2]int]bool{}
	for _, key := range sortedKeys(blocks) {
		list := blocks[key]
		if len(list) > maxBlock {
			continue
		}
		for k, i := range list {
			for _, j := range list[k+1:] {
				pair := [2]int{i, j}
				sameStem := names[i].stem == names[j].stem && len(byStem[names[i].stem]) > 0
				if sameStem || done[pair] || jaroWinkler(names[i].letters, names[j].letters) < alikeFrom || numbersDiffer(names[i].normal, names[j].normal) {
					continue
				}
				done[pair] = true
				v := Value{Kind: NameAlike, Text: names[i].normal + " / " + names[j].normal, Quotes: slices.Concat(names[i].quotes, names[j].quotes)}.sorted()
				v.Most = min(onlyAlike, words.most(NameAlike, names[i].normal), words.most(NameAlike, names[j].normal))
				out = append(out, v)
			}
		}
	}
	return out
}

// numbersDiffer reports whether two names are one but for their numbers in the
// middle, as numbered accounts of a marketplace are ("user 20391 de"). Names that
// differ in a number at their end share a stem.
func numbersDiffer(a, b string) bool {
	letters := func(r rune) rune {
		if unicode.IsDigit(r) {
			return -1
		}
		return r
	}
	return strings.Map(letters, a) == strings.Map(letters, b)
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// sorted puts the quotes in the order of their sellers, the first of each.
func (v Value) sorted() Value {
	slices.SortStableFunc(v.Quotes, func(a, b Quote) int {
		return cmp.Or(strings.Compare(a.Seller, b.Seller), cmp.Compare(a.Listing, b.Listing))
	})
	v.Quotes = slices.CompactFunc(v.Quotes, func(a, b Quote) bool { return a.Seller == b.Seller })
	return v
}
