package rules

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"counterfoil/parse/listing"
	"counterfoil/rules/photogroup"
	"counterfoil/rules/sellers"
	"counterfoil/rules/serials"
)

// How a listing becomes a trace.

func (f *Facts) captureSums() []string {
	var sums []string
	for _, l := range f.Listings {
		sums = append(sums, l.SHA256)
		for _, c := range l.Also {
			sums = append(sums, c.SHA256)
		}
	}
	slices.Sort(sums)
	return slices.Compact(sums)
}

func (f *Facts) photoBound() int {
	return cmp.Or(f.thresholds().Photos.Bound, photogroup.DefaultBound)
}

// traces gives the trace of each listing. Listings that nothing lasting tells
// apart get keys that no later run will meet again.
func (f *Facts) traces() []Trace {
	hubs := map[string]bool{}
	for _, h := range f.Sellers.Hubs() {
		hubs[contactMark(h.Kind, h.Value)] = true
	}
	list := make([]Trace, len(f.Listings))
	uses := map[string]int{}
	eachChunk(context.Background(), len(list), f.Jobs, func(i int) { list[i] = f.trace(i, hubs) })
	for i := range list {
		uses[list[i].Key]++
	}
	for i := range list {
		if uses[list[i].Key] > 1 {
			list[i].Key += "#" + short(list[i].Title, f.Listings[i].SHA256, f.Listings[i].Entry, strconv.Itoa(f.Listings[i].Row))
		}
	}
	return list
}

func (f *Facts) trace(n int, hubs map[string]bool) Trace {
	l, says := f.Listings[n], f.Claims.Result(n, f.Listings[n])
	t := Trace{Market: cmp.Or(Host(l), NoMarket), Part: f.Parts[n].ID, Unit: l.Value(listing.UnitType),
		Shown: listing.Shorten(l.Value(listing.Seller), TitleLimit), Title: listing.Shorten(l.Value(listing.Title), TitleLimit),
		Claim: says.Claim, Condition: l.Value(listing.Condition), State: l.Value(listing.Availability),
		Shipping: NotStated, Lot: 1, Quantity: intOr(l, listing.QuantityAvailable), Ratings: intOr(l, listing.SellerFeedbackCount),
		Text: MarkText(l.Value(listing.Description))}
	t.Seller = sellers.Key(t.Market, l.Value(listing.SellerID), l.Value(listing.Seller))
	t.Marks = f.marks(n, t.Seller, hubs)
	t.Key = keyAcross(l, &t)
	for _, ph := range says.Phrases {
		if ph.Decided {
			t.ClaimQuote = listing.Shorten(ph.Quote, TitleLimit)
			break
		}
	}
	if f.Landed[n].Excluded == "" {
		t.Price, _ = l.Amount(listing.Price)
		t.Lot = f.Landed[n].Lot
		if s, ok := l.Amount(listing.Shipping); ok && s.Minor >= 0 {
			t.Shipping = s.Minor
		}
	}
	t.LastOne, t.Sold = stockWording(l)
	for _, field := range serialFields {
		if s := l.Value(field); s != "" {
			if _, filler := serials.Placeholder(s); !filler {
				t.Serials = append(t.Serials, SerialSeen{serials.Canonical(s), field})
			}
		}
	}
	for i := range l.Photos {
		t.Photos = append(t.Photos, printOf(&l.Photos[i]))
	}
	slices.SortFunc(t.Photos, func(a, b Print) int { return cmp.Compare(a.SHA256, b.SHA256) })
	t.Photos = slices.CompactFunc(t.Photos, func(a, b Print) bool { return a.SHA256 == b.SHA256 })
	return t
}

func printOf(p *listing.Photo) Print {
	out := Print{SHA256: p.SHA256, Fingerprint: p.Fingerprint, Mirror: p.Mirror, Printed: p.Printed,
		OneUnit: p.Shows(listing.ViewSerialPlate) || p.Shows(listing.ViewBoxLabel)}
	for _, v := range p.Views {
		if v.BySight() {
			out.Labels = append(out.Labels, v.Name)
		}
	}
	for _, look := range p.Looks {
		out.Labels = append(out.Labels, look.Maker+"/"+look.Feature+"/"+look.Seen)
	}
	slices.Sort(out.Labels)
	out.Labels = slices.Compact(out.Labels)
	return out
}

func intOr(l *listing.Listing, n listing.Name) int {
	if v, ok := l.Int(n); ok && v >= 0 {
		return min(v, maxStock)
	}
	return NotStated
}

// marks are what a listing shows of its trader: the account, the displayed name
// and the contacts.
func (f *Facts) marks(n int, account string, hubs map[string]bool) []string {
	var list []string
	if account != "" {
		list = append(list, "account "+account)
	}
	if name := sellers.NormalName(f.Listings[n].Value(listing.Seller)); name != "" {
		list = append(list, "name "+name)
	}
	for _, c := range f.Sellers.Contacts(n) {
		if m := contactMark(c.Kind, c.Canonical); c.Check != sellers.CheckFails && !hubs[m] {
			list = append(list, m)
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// contactMark hides a contact behind a hash. Whoever has the casebook can still
// test whether a number he knows is in it.
func contactMark(kind sellers.Kind, value string) string {
	return "contact " + short(string(kind), value)
}

// short is the first half of the SHA-256, in hex, of texts set apart by zero
// bytes.
func short(texts ...string) string {
	sum := sha256.Sum256([]byte(strings.Join(texts, "\x00")))
	return hex.EncodeToString(sum[:16])
}

// keyAcross names a listing so that later runs meet it again, from whatever
// files they read it: by marketplace and id; by id and seller where no address
// tells the marketplace; by its address; else by seller, title, part and
// condition.
func keyAcross(l *listing.Listing, t *Trace) string {
	_, address := listing.Address(l.Value(listing.URL))
	switch id := l.Value(listing.ListingID); {
	case id != "" && t.Market != NoMarket:
		return t.Market + "/" + id
	case id != "":
		return NoMarket + "/" + id + "@" + t.Seller
	case address != "":
		return address
	}
	return "~" + short(t.Seller, t.Title, t.Part, t.Condition)
}

// Wording about stock. Common practice, from memory; review by people whose
// first language is one of these is wanted.
var (
	lastOneWords = regexp.MustCompile(`(?i)\b(?:last (?:one|unit|piece)|only (?:one|1) left|(?:one|1) (?:unit|piece) left|letzte[sr]? stück|nur noch (?:1|ein)(?: stück)?|derni(?:er exemplaire|ère pièce)|plus qu'(?:un|une|1)|solo queda (?:1|una)|ostatnia sztuka|ultimo pezzo)(?:$|[^\pL\d])|última unidad|последн(?:яя штука|ий экземпляр)|осталась одна|最后一[件个台]|仅剩[1一]`)
	soldWords    = regexp.MustCompile(`(?i)\b(\d{1,6}) (?:sold|verkauft|vendus?|vendid[oa]s?|venduti|sprzedan(?:o|ych|e)|продано)(?:$|\P{L})|(?:sold|verkauft|vendus|vendidos|venduti|sprzedano|продано)\s?: ?(\d{1,6})\b|已售 ?(\d{1,6})`)
)

// Parts in lower case of which one is in every text that the expressions find:
// looking for them takes a hundredth of the time.
var (
	lastOneParts = []string{"last", "left", "letzte", "nur noch", "derni", "plus qu", "queda", "ostatnia", "ultimo", "última", "последн", "осталась", "最后", "仅剩"}
	soldParts    = []string{"sold", "verkauft", "vend", "sprzedan", "продано", "已售"}
)

func containsAny(text string, parts []string) bool {
	return slices.ContainsFunc(parts, func(p string) bool { return strings.Contains(text, p) })
}

// stockWording finds what title, description and stock fields say of the last
// one and of units sold.
func stockWording(l *listing.Listing) (lastOne string, sold int) {
	sold = NotStated
	for _, n := range []listing.Name{listing.QuantityAvailable, listing.Availability, listing.Title, listing.Description} {
		field, ok := l.Get(n)
		if !ok {
			continue
		}
		text := field.Raw[:min(len(field.Raw), 16<<10)]
		lower := strings.ToLower(text)
		if lastOne == "" && containsAny(lower, lastOneParts) {
			lastOne = lastOneIn(text)
		}
		if sold != NotStated || !containsAny(lower, soldParts) {
			continue
		}
		if m := soldWords.FindStringSubmatch(text); m != nil {
			sold, _ = strconv.Atoi(m[1] + m[2] + m[3]) // one of them matched
		}
	}
	return lastOne, sold
}

// lastOneIn is the first wording for the last unit, without the character that
// ends it.
func lastOneIn(text string) string {
	return strings.TrimRightFunc(lastOneWords.FindString(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// LastOneWording finds where a listing speaks of the last unit: the words as read
// and their field, "" without any.
func LastOneWording(l *listing.Listing) (words string, field listing.Name) {
	for _, n := range []listing.Name{listing.Title, listing.Description} {
		f, _ := l.Get(n)
		text := f.Raw[:min(len(f.Raw), 64<<10)]
		if !containsAny(strings.ToLower(text), lastOneParts) {
			continue
		}
		if words = lastOneIn(text); words != "" {
			return words, n
		}
	}
	return "", listing.NoField
}

// TextMark stands for a description that is not kept. Words with a digit count
// as one word, so that a template filled in anew keeps its mark. The zero value
// is that of a text too short to be known again.
type TextMark struct {
	Hash [16]byte
	// Signature holds the low bytes of 16 min-hashes over word triples (b-bit
	// minwise hashing, Li and König 2010, b = 8).
	Signature [16]byte
}

// minTriples is the least number of distinct word triples of a text that is
// marked.
const minTriples = 12

// IsZero reports whether there is no text to know again.
func (m TextMark) IsZero() bool { return m == TextMark{} }

// Likeness estimates the Jaccard index of two texts' word triples, 0 to 1. With
// the share m of equal bytes it is (m - 1/256) / (1 - 1/256); the standard error
// is at most .13.
func (m TextMark) Likeness(o TextMark) float64 {
	equal := 0
	for i := range m.Signature {
		if m.Signature[i] == o.Signature[i] {
			equal++
		}
	}
	return max(0, (float64(equal)/float64(len(m.Signature))-1.0/256)/(1-1.0/256))
}

// MarkText marks a description, of which the first 64 KiB are read.
func MarkText(text string) (m TextMark) {
	words := foldWords(text[:min(len(text), 64<<10)])
	least := [len(m.Signature)]uint64{}
	for i := range least {
		least[i] = ^uint64(0)
	}
	seen := map[uint64]bool{}
	all := sha256.New()
	for i, w := range words {
		all.Write([]byte(w))
		all.Write([]byte{0})
		if i < 2 {
			continue
		}
		h := hashWords(words[i-2 : i+1])
		if seen[h] {
			continue
		}
		seen[h] = true
		for k := range least {
			least[k] = min(least[k], scramble(h^uint64(k+1)*0x9e3779b97f4a7c15))
		}
	}
	if len(seen) < minTriples {
		return TextMark{}
	}
	copy(m.Hash[:], all.Sum(nil))
	for k := range least {
		m.Signature[k] = byte(least[k])
	}
	return m
}

// foldWords cuts a text into words: compatibility forms and case folded, a
// Chinese character as a word, and "0" for a row of words with digits.
func foldWords(text string) (words []string) {
	var b strings.Builder
	digit := false
	flush := func() {
		switch {
		case b.Len() == 0:
		case !digit:
			words = append(words, b.String())
		case len(words) == 0 || words[len(words)-1] != "0":
			words = append(words, "0")
		}
		b.Reset()
		digit = false
	}
	for _, r := range norm.NFKC.String(text) {
		switch {
		case unicode.Is(unicode.Han, r):
			flush()
			words = append(words, string(r))
		case unicode.IsLetter(r) || unicode.IsMark(r) || unicode.IsDigit(r):
			digit = digit || unicode.IsDigit(r)
			b.WriteRune(unicode.ToLower(r))
		default:
			flush()
		}
	}
	flush()
	return words
}

// hashWords is FNV-1a (Fowler, Noll, Vo) with a zero byte after each word.
func hashWords(words []string) uint64 {
	h := uint64(14695981039346656037)
	for _, w := range words {
		for i := range len(w) {
			h = (h ^ uint64(w[i])) * 1099511628211
		}
		h *= 1099511628211
	}
	return scramble(h)
}

// scramble is the finaliser of SplitMix64 (Steele, Lea, Flood 2014).
func scramble(x uint64) uint64 {
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}
