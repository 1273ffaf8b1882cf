package texts

import (
	"cmp"
	"runtime"
	"slices"
)

// Doc is the running text of one listing.
type Doc struct {
	Listing int    // the caller's number of the listing
	Seller  string // the seller's key; "" when the input does not show the seller
	Part    string // part key; "" when unknown
	Text    string // description as read; the first 64 KiB are compared
}

// Member is one listing of a group.
type Member struct {
	Listing int
	Jaccard float64 // exact Jaccard index with the group's medoid, 0 to 1
}

// Group is a set of listings with nearly the same text: each has at least the
// threshold's Jaccard index with one of them, the medoid, so that a chain of
// small changes does not grow into one group.
type Group struct {
	Members []Member // by listing
	Medoid  int      // the listing that the others are compared with
	Sellers int      // distinct known sellers
	Parts   int      // distinct known parts
	// Common is the longest run of words of the medoid that a member of another
	// seller (the first such listing) shares, as it stands in the medoid, at
	// most CommonLimit characters; "" in a group of fewer than two sellers.
	Common string
}

// Defaults of Options.
const (
	Threshold        = 0.8  // engineering choice: about one changed word in 27, as each spoils three shingles
	BoilerplateShare = 0.25 // engineering choice
	RareSellers      = 4
)

// MinBoilerplate is the least number of sellers that make a shingle
// boilerplate is above: in a small batch a share says too little.
const MinBoilerplate = 10

// MinShingles is the least number of distinct shingles, boilerplate apart, that
// a text needs in order to be compared.
const MinShingles = 12

// CommonLimit bounds Group.Common, in characters.
const CommonLimit = 160

// Options tunes the comparison. The zero value means the defaults.
type Options struct {
	// Threshold is the least Jaccard index of a member with the medoid.
	Threshold float64
	// BoilerplateShare is the share of all sellers above which a shingle is
	// boilerplate.
	BoilerplateShare float64
	// RareSellers is the largest number of sellers that share a rare token.
	RareSellers int
	// KeepNumbers compares numbers as they are instead of as one class token.
	KeepNumbers bool
	// Workers is the number of goroutines; default GOMAXPROCS. The result does
	// not depend on it.
	Workers int
}

// Index holds the groups of a batch. It is not changed after Build and may be
// read by several goroutines.
type Index struct {
	groups   []Group
	listings []int   // sorted
	states   []state // of listings
	rare     map[int][]Shared
	allRare  []Shared
	phrases  []Phrase
	warnings []string
}

// state is what is kept of each document.
type state struct {
	compared bool
	common   float32 // share of boilerplate shingles
	group    int32   // counted from 1; 0 when in none
}

// Build compares the documents with the default options.
func Build(docs []Doc) *Index { return Options{}.Build(docs) }

// Build compares the documents. When several have the same listing number, the
// first of them counts. The result does not depend on the order of the
// documents nor on the number of goroutines, except that the first of several
// documents of one listing counts.
func (o Options) Build(docs []Doc) *Index {
	o.Threshold = cmp.Or(o.Threshold, Threshold)
	o.BoilerplateShare = cmp.Or(o.BoilerplateShare, BoilerplateShare)
	o.RareSellers = cmp.Or(o.RareSellers, RareSellers)
	o.Workers = cmp.Or(o.Workers, runtime.GOMAXPROCS(0))
	b := &builder{Options: o}
	b.arrange(docs)
	b.shingle()
	b.boilerplate = b.findBoilerplate()
	b.compare()
	return b.index()
}

// Groups lists the groups of at least two listings, by their first listing. A
// text of 20 to 24 words, which is compared by words and by characters, may be in
// two groups, of which neither holds the other. The slice belongs to the index.
func (x *Index) Groups() []Group { return x.groups }

// Of gives the group a listing is in, nil if none, the largest if there are two.
func (x *Index) Of(listing int) *Group {
	if s := x.state(listing); s.group > 0 {
		return &x.groups[s.group-1]
	}
	return nil
}

// state gives what is kept of a listing, the zero value when it is unknown.
func (x *Index) state(listing int) state {
	if i, ok := slices.BinarySearch(x.listings, listing); ok {
		return x.states[i]
	}
	return state{}
}

// Assessed reports whether the listing's text had enough of its own, common
// passages apart, to be compared.
func (x *Index) Assessed(listing int) bool { return x.state(listing).compared }

// Boilerplate gives the share of the listing's shingles, 0 to 1, that so many
// sellers use that they were not compared.
func (x *Index) Boilerplate(listing int) float64 { return float64(x.state(listing).common) }

// RareShared lists the rare tokens of a listing that other sellers' listings
// share, by token. See [Shared].
func (x *Index) RareShared(listing int) []Shared { return x.rare[listing] }

// Rare lists all shared rare tokens, by token. The slice belongs to the index.
func (x *Index) Rare() []Shared { return x.allRare }

// Phrases lists the passages that few sellers share, by their first listings. See
// [Phrase]. The slice belongs to the index.
func (x *Index) Phrases() []Phrase { return x.phrases }

// Warnings says, in words for a report, where a bound on work or memory was
// reached, so that something may not have been found.
func (x *Index) Warnings() []string { return x.warnings }
