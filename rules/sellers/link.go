package sellers

import (
	"cmp"
	"math"
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
}

// Link says that two sellers share a value. Its weight speaks for one operator
// behind both, not for any deception.
type Link struct {
	A, B    string // seller keys, A < B
	Kind    Kind
	Value   string // canonical
	Weight  float64
	Sellers int // sellers of the batch that show the value
	// Evidence is the first place where A and the first where B shows it.
	Evidence []Quote
}

// Group is a set of sellers whom strong links join, directly or in a chain.
type Group struct {
	Key     string   // the first member
	Members []string // sorted
	Links   []Link   // all links between members, by A, B, kind and value
}

// Hub is a value that so many sellers show that it links none of them.
type Hub struct {
	Kind    Kind
	Value   string
	Sellers int
}

// prior is what is assumed of a kind of value before the batch is seen. The
// numbers are the team's judgement.
type prior struct {
	m   float64 // chance that two accounts of one operator show the same value
	u   float64 // chance that two accounts of different operators do
	cap float64 // decibans a link may weigh at most
}

var priors = map[Kind]prior{
	VAT:       {.95, 1e-4, 40},
	Register:  {.95, 1e-4, 40},
	IBAN:      {.9, 1e-4, 40},
	Mail:      {.9, 1e-4, 40},
	Phone:     {.9, 1e-4, 40},
	Messenger: {.9, 1e-3, 40},
	Name:      {.9, 1e-2, weak}, // names of shops are alike by chance
}

// weak is the cap in decibans of what never makes a group alone.
const weak = 8

// priorSellers is how many sellers' worth of evidence the assumed u counts for.
const priorSellers = 100

// linkWeight is the agreement weight of Fellegi and Sunter (1969) in decibans,
// with u from the value's own frequency (Winkler 1989):
//
//	weight = 10 log10(m / u)
//	u      = (n - 2 + 100 u0) / (S - 2 + 100)
//
// n of S sellers show the value, the two in question among them; u0 and m are
// the kind's priors, and u0 counts as much as a hundred sellers. A value that
// only two of many sellers show weighs most. The weight is held between 0 and
// the kind's cap, or 8 decibans for a value that is not whole: a court's register
// number without the court, a short phone number without its area. It takes
// n >= 2.
func linkWeight(kind Kind, text string, n, sellers int) float64 {
	p := priors[kind]
	if kind == Phone && text[0] != '+' && len(text) < 9 ||
		kind == Register && strings.HasPrefix(text, "HR") && strings.Count(text, " ") < 2 {
		p.cap = weak
	}
	u := (float64(n-2) + priorSellers*p.u) / float64(sellers-2+priorSellers)
	return min(max(10*math.Log10(p.m/u), 0), p.cap)
}

// value is a linking value with the sellers that show it.
type value struct {
	kind   Kind
	text   string
	quotes []Quote // the first of each seller, by seller
}

func (x *Index) link(opt Options) {
	for _, v := range x.values() {
		n, all := len(v.quotes), len(x.keys)
		if n > opt.MaxSellers || n > 3 && 5*n > all {
			x.hubs = append(x.hubs, Hub{v.kind, v.text, n})
			continue
		}
		weight := linkWeight(v.kind, v.text, n, all)
		for i, a := range v.quotes {
			for _, b := range v.quotes[i+1:] {
				x.links = append(x.links, Link{A: a.Seller, B: b.Seller, Kind: v.kind, Value: v.text,
					Weight: weight, Sellers: n, Evidence: []Quote{a, b}})
			}
		}
	}
	slices.SortFunc(x.links, byPair)
	x.of = map[string][]Link{}
	for _, l := range x.links {
		x.of[l.A] = append(x.of[l.A], l)
		x.of[l.B] = append(x.of[l.B], l)
	}
	for _, list := range x.of {
		slices.SortStableFunc(list, func(a, b Link) int { return cmp.Compare(b.Weight, a.Weight) })
	}
	x.join(opt)
}

func byPair(a, b Link) int {
	return cmp.Or(strings.Compare(a.A, b.A), strings.Compare(a.B, b.B),
		strings.Compare(string(a.Kind), string(b.Kind)), strings.Compare(a.Value, b.Value))
}

// values lists what at least two sellers show, by kind and value.
func (x *Index) values() []value {
	type id struct {
		kind Kind
		text string
	}
	at := map[id]int{}
	var list []value
	add := func(kind Kind, text string, q Quote) {
		i, ok := at[id{kind, text}]
		if !ok {
			i = len(list)
			at[id{kind, text}] = i
			list = append(list, value{kind: kind, text: text})
		}
		if v := &list[i]; len(v.quotes) == 0 || v.quotes[len(v.quotes)-1].Seller != q.Seller {
			v.quotes = append(v.quotes, q)
		}
	}
	for _, key := range x.keys {
		s := x.sellers[key]
		for _, c := range s.Contacts {
			add(c.Kind, c.Canonical, Quote{key, c.Listing, c.Field, c.Raw, c.Start, c.End})
		}
		for _, name := range s.Names {
			if normal := NormalName(name); normal != "" {
				add(Name, normal, Quote{Seller: key, Listing: s.nameAt[name], Field: listing.Seller, Raw: name})
			}
		}
	}
	list = slices.DeleteFunc(list, func(v value) bool { return len(v.quotes) < 2 })
	slices.SortFunc(list, func(a, b value) int {
		return cmp.Or(strings.Compare(string(a.kind), string(b.kind)), strings.Compare(a.text, b.text))
	})
	return list
}

// join forms the groups. Two sellers are joined when the heaviest link of each
// kind between them adds up to opt.Strong.
func (x *Index) join(opt Options) {
	parent := map[string]string{}
	var find func(string) string
	find = func(k string) string {
		p, ok := parent[k]
		if !ok || p == k {
			return k
		}
		root := find(p)
		parent[k] = root
		return root
	}
	for i := 0; i < len(x.links); {
		j, total := i, 0.0
		for ; j < len(x.links) && x.links[j].A == x.links[i].A && x.links[j].B == x.links[i].B; j++ {
			// Links of one pair stand by kind; values of one kind do not add up.
			if j == i || x.links[j].Kind != x.links[j-1].Kind {
				total += heaviest(x.links[j:], x.links[j])
			}
		}
		if a, b := find(x.links[i].A), find(x.links[i].B); total >= opt.Strong && a != b {
			parent[max(a, b)] = min(a, b)
		}
		i = j
	}
	x.collect(find)
}

func heaviest(links []Link, of Link) float64 {
	best := 0.0
	for _, l := range links {
		if l.A != of.A || l.B != of.B || l.Kind != of.Kind {
			break
		}
		best = max(best, l.Weight)
	}
	return best
}

func (x *Index) collect(find func(string) string) {
	members := map[string][]string{}
	for _, k := range x.keys {
		root := find(k)
		members[root] = append(members[root], k)
	}
	x.group = map[string]string{}
	at := map[string]int{}
	for _, k := range x.keys {
		if list := members[k]; len(list) > 1 {
			at[k] = len(x.groups)
			x.groups = append(x.groups, Group{Key: k, Members: list})
			for _, m := range list {
				x.group[m] = k
			}
		}
	}
	for _, l := range x.links {
		if g := x.group[l.A]; g != "" && g == x.group[l.B] {
			x.groups[at[g]].Links = append(x.groups[at[g]].Links, l)
		}
	}
}

// Links lists all links, strong and weak, by A, B, kind and value. The slice
// belongs to the index.
func (x *Index) Links() []Link { return x.links }

// SharedContacts lists the links of one seller, heaviest first. The slice
// belongs to the index.
func (x *Index) SharedContacts(key string) []Link { return x.of[key] }

// Group gives the key of the group a seller is in; the seller's own key when it
// is in none.
func (x *Index) Group(key string) string { return cmp.Or(x.group[key], key) }

// Groups lists the groups of at least two sellers, by key. The slice belongs to
// the index.
func (x *Index) Groups() []Group { return x.groups }

// Hubs lists the values that link nobody because too many sellers show them, by
// kind and value. The slice belongs to the index.
func (x *Index) Hubs() []Hub { return x.hubs }
