package sellers

import (
	"cmp"
	"slices"
	"strings"

	"counterfoil/parse/listing"
)

// Quote is a place where a linking value stands. A displayed name has the field
// Seller and no offsets.
type Quote struct {
	Seller     string
	Listing    int
	Field      listing.Name
	Raw        string
	Start, End int // bytes in the field's text, half-open
	Photo      int // number of the photo in its listing, counted from 1; 0 when it is none
}

// Value is something that several sellers share.
type Value struct {
	Kind   Kind
	Text   string  // as compared
	Quotes []Quote // the first of each seller, by seller
	// Most bounds the weight in decibans, when it is above 0: for what the
	// caller weighs better than by frequency.
	Most float64
	// First is the seller from whom the others may have copied the value, "" when
	// nothing tells. Links with him weigh CopiedShare of the usual, links between
	// the others half.
	First string
}

// CopiedShare is what is left of the weight of a link to a seller who was
// probably copied.
const CopiedShare = 0.3

const copiersShare = 0.5

// Link says that two sellers share a value. Its weight speaks for one operator
// behind both, not for any deception.
type Link struct {
	A, B    string // seller keys, A < B
	Kind    Kind
	Value   string // canonical
	Weight  float64
	Sellers int    // sellers of the batch that show the value
	Copied  bool   // the value was probably copied from one seller
	First   string // that seller; "" when nothing tells
	Common  bool   // it is common property, or goes with what is: see Hub
	// Evidence is the first place where A and the first where B shows it.
	Evidence []Quote

	value int32 // number of the value in its network
}

// Hub is a value that links none of the sellers who show it, or no two of them
// without other links.
type Hub struct {
	Kind    Kind
	Value   string
	Sellers int
	Why     string
	Links   bool // it still supports links, with at most 4 decibans

	common bool // supports links only as common property does
}

// Reasons of hubs.
const (
	hubMany    = "so many accounts show it that it tells none of them apart"
	hubShare   = "more than a fifth of all accounts show it"
	hubTraders = "accounts with different tax or register numbers show it"
)

// Pair is what joins two sellers.
type Pair struct {
	A, B   string // seller keys, A < B
	Weight float64
	Links  []Link // by kind and value
	// Apart is the share of Weight, below 0, that comes from tax or register
	// numbers that differ.
	Apart float64
}

// Network holds links between sellers and the groups they make. It is not
// changed after it was made and may be read by several goroutines.
type Network struct {
	links  []Link
	of     map[string][]Link // links of a seller, heaviest first
	pairs  []Pair            // strong ones, by A and B
	groups []Group
	group  map[string]int // into groups
	hubs   []Hub
	bar    Bar
	index  *Index
	made   grouping
}

// bounds of the links.
const (
	maxHub   = 64        // sellers of a value that still supports links
	maxLinks = 3_000_000 // links kept
	passes   = 3         // times that owners are counted
)

// network links the sellers by the values. What the accounts of one group share is
// then counted anew: as shown once, so that an operator's own number is no hub
// for the number of his accounts.
func (x *Index) network(values []Value, opt Options) *Network {
	slices.SortStableFunc(values, func(a, b Value) int {
		return cmp.Or(strings.Compare(string(a.Kind), string(b.Kind)), strings.Compare(a.Text, b.Text))
	})
	values = slices.DeleteFunc(values, func(v Value) bool { return len(v.Quotes) < 2 })
	n := x.link(values, opt, &owners{x: x})
	for pass := 1; pass < passes && len(n.hubs) > 0 && len(n.groups) > 0; pass++ {
		n = x.link(values, opt, &owners{x: x, heads: n.heads()})
	}
	n.findHolds()
	return n
}

// link links the sellers by the values and forms groups.
func (x *Index) link(values []Value, opt Options, own *owners) *Network {
	n := &Network{of: map[string][]Link{}, group: map[string]int{}, bar: Bar{Strong: opt.Strong}, index: x}
	all := len(x.keys)
	wide := own.wide(values, opt)
	for number, v := range values {
		weight, h := own.weigh(v, all, opt, wide)
		if h.Why != "" {
			n.hubs = append(n.hubs, h)
		}
		common := h.common && v.Kind != Place
		if weight == 0 || len(n.links) > maxLinks {
			continue
		}
		for i, a := range v.Quotes {
			for _, b := range v.Quotes[i+1:] {
				l := Link{A: a.Seller, B: b.Seller, Kind: v.Kind, Value: v.Text, Weight: weight, Sellers: len(v.Quotes), First: v.First, Common: common,
					Evidence: []Quote{a, b}, value: int32(number)}
				switch v.First {
				case "":
				case a.Seller, b.Seller:
					l.Copied, l.Weight = true, weight*CopiedShare
				default:
					l.Copied, l.Weight = true, weight*copiersShare
				}
				n.links = append(n.links, l)
			}
		}
	}
	slices.SortStableFunc(n.links, byPair)
	n.findPairs(len(values))
	for _, l := range n.links {
		n.of[l.A] = append(n.of[l.A], l)
		n.of[l.B] = append(n.of[l.B], l)
	}
	for _, list := range n.of {
		slices.SortStableFunc(list, func(a, b Link) int { return cmp.Compare(b.Weight, a.Weight) })
	}
	n.findGroups()
	return n
}

func byPair(a, b Link) int {
	return cmp.Or(strings.Compare(a.A, b.A), strings.Compare(a.B, b.B),
		strings.Compare(string(a.Kind), string(b.Kind)), strings.Compare(a.Value, b.Value))
}

// firm is the first valid tax number of a seller, else the first register number.
func (x *Index) firm(key string) string {
	firm := ""
	for _, c := range x.sellers[key].Contacts {
		switch {
		case c.Kind == VAT && c.Check == CheckHolds:
			return c.Canonical
		case c.Kind == Register && c.Check != CheckFails && firm == "":
			firm = c.Canonical
		}
	}
	return firm
}

func (x *Index) numbers(key string, kind Kind) (list []string) {
	s := x.sellers[key]
	if s == nil {
		return nil
	}
	for _, c := range s.Contacts {
		if c.Kind == kind && c.Check != CheckFails {
			list = append(list, c.Canonical)
		}
	}
	return list
}

// bothWays gives links their whole weight again where each of the two would have
// copied from the other: copying goes one way, as a rule, and who holds the
// larger copies of all pictures now and then is no stranger.
func (p *Pair) bothWays() {
	one, other := false, false
	for i := range p.Links {
		one, other = one || p.Links[i].First == p.A, other || p.Links[i].First == p.B
	}
	if !one || !other {
		return
	}
	for i := range p.Links {
		if l := &p.Links[i]; l.Copied && (l.First == p.A || l.First == p.B) {
			l.Copied, l.Weight = false, l.Weight/CopiedShare
		}
	}
}

// findPairs finds what each two sellers share, and the pairs that links and
// numbers that differ make strong.
func (n *Network) findPairs(values int) {
	at := make(map[string]int32, len(n.index.keys))
	for i, k := range n.index.keys {
		at[k] = int32(i)
	}
	bonds := make([]bond, 0, len(n.links))
	var spans []span
	for i := 0; i < len(n.links); {
		j := i
		for j < len(n.links) && n.links[j].A == n.links[i].A && n.links[j].B == n.links[i].B {
			j++
		}
		p := Pair{A: n.links[i].A, B: n.links[i].B, Links: n.links[i:j:j]}
		p.bothWays()
		from := len(bonds)
		bonds = append(bonds, bondsOf(p.Links)...)
		spans = append(spans, span{at[p.A], at[p.B], bonds[from:len(bonds):len(bonds)]})
		n.made.runs = append(n.made.runs, [2]int32{int32(i), int32(j)})
		i = j
	}
	if n.bar.Strong == 0 {
		n.bar = barOf(spans, len(n.index.keys))
	}
	n.made.clusters = newClusters(len(n.index.keys), spans, &n.bar, newScale(values))
	for i, key := range n.index.keys {
		if len(n.made.near[i]) > 0 {
			n.made.numbers[i] = [2][]string{n.index.numbers(key, VAT), n.index.numbers(key, Register)}
		}
	}
	for i := range spans {
		s := &spans[i]
		weight, apart := pairWeight(s.bonds, n.bar.Strong, n.made.numbers[s.a], n.made.numbers[s.b])
		if weight >= n.bar.Strong {
			run := n.made.runs[i]
			links := n.links[run[0]:run[1]:run[1]]
			n.pairs = append(n.pairs, Pair{A: links[0].A, B: links[0].B, Weight: weight, Apart: apart, Links: links})
			n.made.pairs = append(n.made.pairs, strongSpan{int32(i), weight})
		}
	}
}

// Bar says what joins two sellers in this market.
func (n *Network) Bar() Bar {
	if n == nil {
		return Bar{Strong: strongMost}
	}
	return n.bar
}

// Links lists all links, strong and weak, by A, B, kind and value. The slice
// belongs to the network.
func (n *Network) Links() []Link { return n.links }

// LinksOf lists the links of one seller, heaviest first. The slice belongs to
// the network.
func (n *Network) LinksOf(key string) []Link { return n.of[key] }

// Group gives the group a seller is in, nil when in none.
func (n *Network) Group(key string) *Group {
	if i, ok := n.group[key]; ok {
		return &n.groups[i]
	}
	return nil
}

// Groups lists the groups of at least two sellers, by key. The slice belongs to
// the network.
func (n *Network) Groups() []Group { return n.groups }

// Hubs lists the values that link nobody, or nobody by themselves, because too
// many sellers show them, by kind and value. The slice belongs to the network.
func (n *Network) Hubs() []Hub { return n.hubs }
