package texts

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// Shared is a rare token that listings of several sellers share and that looks
// like a misspelling of a frequent one:
//
//   - it is a word of 5 to 30 letters without a digit, in a script with word
//     spaces;
//   - at least two and at most Options.RareSellers of at least MinRareBatch
//     sellers use it;
//   - it is one edit (insertion, deletion, substitution or exchange of
//     neighbours), for words of 8 letters and more at most two edits, away from a
//     token that at least max(10, 5 x its own sellers) sellers use;
//   - the two differ elsewhere than in the last two letters only, where words
//     inflect.
//
// The batch serves as the dictionary, so a rare real word may be among them.
type Shared struct {
	Token    string // folded
	Like     string // the frequent token it looks like
	Sellers  int    // distinct sellers
	Listings []int  // sorted; at most some hundreds
}

// MinRareBatch is the least number of sellers in which rare tokens are sought.
const MinRareBatch = 20

const (
	minFrequent    = 10
	frequentFactor = 5
	maxFrequent    = 20_000  // frequent tokens that are compared
	maxVocabulary  = 200_000 // tokens a shard counts
	maxTokenDocs   = 64      // listings a shard keeps of a token
)

// vocabulary counts the tokens of one shard by distinct sellers.
type vocabulary struct {
	rareSellers int
	at          map[uint64]int32
	words       []vocabWord
	full        bool
}

type vocabWord struct {
	text    string
	hash    uint64
	last    int32 // seller counted last
	sellers int32
	docs    []int32 // dropped when too many sellers use the token
}

func newVocabulary(rareSellers int) *vocabulary {
	return &vocabulary{rareSellers: rareSellers, at: map[uint64]int32{}}
}

// count adds the tokens of one document. Documents come ordered by seller.
func (v *vocabulary) count(f *folder, seller, doc int32) {
	for _, t := range f.tokens {
		if t.unspaced || t.class || t.end-t.start < 5 {
			continue
		}
		i, ok := v.at[t.hash]
		if !ok {
			if i, ok = v.add(f, t); !ok {
				continue
			}
		}
		if i < 0 {
			continue
		}
		w := &v.words[i]
		if w.last != seller {
			w.last = seller
			if w.sellers++; int(w.sellers) > v.rareSellers {
				w.docs = nil
			}
		}
		if n := len(w.docs); int(w.sellers) <= v.rareSellers && n < maxTokenDocs && (n == 0 || w.docs[n-1] != doc) {
			w.docs = append(w.docs, doc)
		}
	}
}

// add enters a token; -1 stands for one that is no word of 5 to 30 letters.
func (v *vocabulary) add(f *folder, t token) (int32, bool) {
	if len(v.at) >= maxVocabulary {
		v.full = true
		return 0, false
	}
	text := f.text[t.start:t.end]
	if n := utf8.RuneCount(text); n < 5 || n > 30 || slices.ContainsFunc([]rune(string(text)), func(r rune) bool { return kindOf(r) == digit }) {
		v.at[t.hash] = -1
		return -1, true
	}
	i := int32(len(v.words))
	v.at[t.hash] = i
	v.words = append(v.words, vocabWord{text: string(text), hash: t.hash})
	return i, true
}

// addRare finds the shared rare tokens and files them under each listing.
func (b *builder) addRare(rare map[int][]Shared) (all []Shared) {
	if b.sellers < MinRareBatch {
		return nil
	}
	words := b.mergeVocabulary()
	near := newNeighbours(words)
	for _, w := range words {
		if w.sellers < 2 || int(w.sellers) > b.RareSellers {
			continue
		}
		like, ok := near.find(w)
		if !ok {
			continue
		}
		s := Shared{Token: w.text, Like: like, Sellers: int(w.sellers)}
		for _, d := range w.docs {
			s.Listings = append(s.Listings, b.docs[d].Listing)
		}
		slices.Sort(s.Listings)
		for _, l := range s.Listings {
			rare[l] = append(rare[l], s)
		}
		all = append(all, s)
	}
	return all
}

// mergeVocabulary adds up the shards, sorted by token.
func (b *builder) mergeVocabulary() []vocabWord {
	at := map[uint64]int32{}
	var words []vocabWord
	for s, v := range b.vocab {
		if v.full {
			b.warnings = append(b.warnings, fmt.Sprintf(
				"texts: shard %d of %d has more than %d different words; later ones were not searched for misspellings", s+1, shards, maxVocabulary))
		}
		for _, w := range v.words {
			i, ok := at[w.hash]
			if !ok {
				at[w.hash] = int32(len(words))
				words = append(words, w)
				continue
			}
			words[i].sellers += w.sellers
			words[i].docs = append(words[i].docs, w.docs...)
		}
	}
	slices.SortFunc(words, func(p, q vocabWord) int { return strings.Compare(p.text, q.text) })
	return words
}

// neighbours finds frequent words close to a given one: two words within n
// edits have a form in common that each reaches by at most n deletions.
type neighbours struct {
	frequent []vocabWord
	forms    map[string][]int32
}

func newNeighbours(words []vocabWord) *neighbours {
	n := &neighbours{forms: map[string][]int32{}}
	for _, w := range words {
		if w.sellers >= minFrequent {
			n.frequent = append(n.frequent, w)
		}
	}
	slices.SortStableFunc(n.frequent, func(p, q vocabWord) int { return cmp.Compare(q.sellers, p.sellers) })
	n.frequent = n.frequent[:min(len(n.frequent), maxFrequent)]
	for i, w := range n.frequent {
		for _, form := range deletions(w.text) {
			n.forms[form] = append(n.forms[form], int32(i))
		}
	}
	return n
}

// edits gives how many edits are allowed at a length in letters.
func edits(length int) int {
	if length >= 8 {
		return 2
	}
	return 1
}

// deletions lists the word and what is left of it after deletions.
func deletions(word string) []string {
	forms := []string{word}
	for from, n := 0, edits(utf8.RuneCountInString(word)); n > 0; n-- {
		to := len(forms)
		for _, f := range forms[from:to] {
			for i, r := range f {
				forms = append(forms, f[:i]+f[i+utf8.RuneLen(r):])
			}
		}
		from = to
	}
	slices.Sort(forms)
	return slices.Compact(forms)
}

// find gives the frequent word nearest to w: fewest edits, then most sellers,
// then first in order.
func (n *neighbours) find(w vocabWord) (string, bool) {
	a := []rune(w.text)
	best, least := int32(-1), edits(len(a))+1
	for _, form := range deletions(w.text) {
		for _, i := range n.forms[form] {
			c := n.frequent[i]
			if c.sellers < frequentFactor*w.sellers || c.hash == w.hash || inflected(a, []rune(c.text)) {
				continue
			}
			if d := distance(a, []rune(c.text)); d < least || d == least && best >= 0 && i < best {
				best, least = i, d
			}
		}
	}
	if best < 0 {
		return "", false
	}
	return n.frequent[best].text, true
}

// inflected reports whether two words are forms of one word: they differ in
// their last two letters only, or one is the other with a prefix ("builders",
// "rebuilders").
func inflected(a, b []rune) bool {
	if strings.HasSuffix(string(a), string(b)) || strings.HasSuffix(string(b), string(a)) {
		return true
	}
	same := 0
	for same < len(a) && same < len(b) && a[same] == b[same] {
		same++
	}
	return len(a)-same <= 2 && len(b)-same <= 2
}

// distance is the optimal string alignment distance (Damerau 1964, without a
// second edit of an exchanged pair).
func distance(a, b []rune) int {
	rows := [3][]int{make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		row, up, up2 := rows[i%3], rows[(i+2)%3], rows[(i+1)%3]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(up[j]+1, row[j-1]+1, up[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], up2[j-2]+1)
			}
		}
	}
	return rows[len(a)%3][len(b)]
}
