// Package texts finds near-duplicate descriptions in a batch, once for all
// rules.
package texts

// Doc is the running text of one listing.
type Doc struct {
	Listing int    // the caller's number of the listing
	Seller  string // the seller's key; "" when the input does not show the seller
	Part    string // part key; "" when unknown
	Text    string // description as read
}

// Member is one listing of a group.
type Member struct {
	Listing int
	Jaccard float64 // exact Jaccard index with the group's medoid, 0 to 1
}

// Group is a set of listings with nearly the same text.
type Group struct {
	Members []Member // by listing
	Medoid  int      // the listing the others are compared with
	Sellers int      // distinct known sellers
	Parts   int      // distinct known parts
	Common  string   // passage of the medoid that another member shares word for word, at most 160 characters; see Index.Groups
}

// Shared is a rare token that listings of several sellers share and that looks
// like a misspelling of a frequent one.
type Shared struct {
	Token    string // folded
	Like     string // the frequent token it looks like
	Sellers  int    // distinct sellers, 2 to 4
	Listings []int  // sorted
}

// Index holds the groups of a batch. It is not changed after Build and may be
// read by several goroutines.
type Index struct {
	groups []Group
	of     map[int]int32
	rare   map[int][]Shared
}

// Build compares the documents with the default options.
func Build(docs []Doc) *Index { return Options{}.Build(docs) }

// Options tunes the comparison. The zero value means the defaults.
type Options struct {
	Threshold float64 // least Jaccard index of a member with the medoid; default 0.8
	Workers   int     // goroutines; default GOMAXPROCS. The result does not depend on it.
}

// Build compares the documents.
func (o Options) Build(docs []Doc) *Index { return &Index{} }

// Groups lists the groups of at least two listings, by their first listing.
// The slice belongs to the index.
func (x *Index) Groups() []Group { return x.groups }

// Of gives the group a listing is in, nil if none.
func (x *Index) Of(listing int) *Group {
	if i, ok := x.of[listing]; ok {
		return &x.groups[i]
	}
	return nil
}

// Assessed reports whether the listing's text had enough of its own (after
// common passages were taken out) to be compared.
func (x *Index) Assessed(listing int) bool { return false }

// Boilerplate gives the share of the listing's shingles, 0 to 1, that so many
// sellers use that they say nothing.
func (x *Index) Boilerplate(listing int) float64 { return 0 }

// RareShared lists the rare tokens of a listing that other sellers' listings
// share, by token.
func (x *Index) RareShared(listing int) []Shared { return x.rare[listing] }

// Passage is a run of words that two texts share. Offsets are bytes in the raw
// texts, half-open.
type Passage struct {
	QuoteA, QuoteB string // a[StartA:EndA] and b[StartB:EndB]
	StartA, EndA   int
	StartB, EndB   int
	Words          int
}

// SharedPassage finds the longest run of words that two texts share. ok is
// false when they share no word.
func SharedPassage(a, b string) (p Passage, ok bool) { return Passage{}, false }
