package sellers

import (
	"math"
	"slices"
	"strings"

	"counterfoil/parse/listing"
)

// gather collects values by kind and text, the first quote of each seller.
type gather struct {
	at   map[[2]string]int
	list []Value
}

func newGather() *gather { return &gather{at: map[[2]string]int{}} }

// add takes quotes seller by seller.
func (g *gather) add(kind Kind, text string, q Quote) {
	id := [2]string{string(kind), text}
	i, ok := g.at[id]
	if !ok {
		i = len(g.list)
		g.at[id] = i
		g.list = append(g.list, Value{Kind: kind, Text: text})
	}
	if v := &g.list[i]; len(v.Quotes) == 0 || v.Quotes[len(v.Quotes)-1].Seller != q.Seller {
		v.Quotes = append(v.Quotes, q)
	}
}

// shared gives the values of two sellers and more.
func (g *gather) shared() []Value {
	return slices.DeleteFunc(g.list, func(v Value) bool { return len(v.Quotes) < 2 })
}

// values lists the contacts and names that at least two sellers show.
func (x *Index) values() []Value {
	g := newGather()
	for _, key := range x.keys {
		s := x.sellers[key]
		for _, c := range s.Contacts {
			g.add(c.Kind, c.Canonical, Quote{Seller: key, Listing: c.Listing, Field: c.Field, Raw: c.Raw, Start: c.Start, End: c.End, Photo: c.Photo})
		}
		for _, name := range s.Names {
			if normal := NormalName(name); normal != "" {
				g.add(Name, normal, s.nameQuote(name))
			}
		}
	}
	list := g.shared()
	words := x.wordCounts()
	for i := range list {
		if v := &list[i]; v.Kind == Name {
			v.Most = words.most(v.Kind, v.Text)
		}
	}
	return list
}

// wordCounts counts in how many names words occur, endings that accounts vary
// apart: the variants of one name count once.
type wordCounts struct {
	names    map[string]int
	accounts int
}

func (x *Index) wordCounts() *wordCounts {
	w := &wordCounts{names: map[string]int{}, accounts: len(x.keys)}
	seen := map[string]bool{}
	for _, key := range x.keys {
		for _, name := range x.sellers[key].Names {
			words := stemWords(NormalName(name))
			if seen[words] {
				continue
			}
			seen[words] = true
			list := strings.Fields(words)
			slices.Sort(list)
			for _, word := range slices.Compact(list) {
				w.names[word]++
			}
		}
	}
	return w
}

// most bounds what a shared name may weigh, in decibans, by how many strangers
// would come by it if they chose its words as often as other names have them, one
// by one:
//
//	10 log10(m / (S f1 f2 ...)), f = (other names with the word + 0.1) / (S + 100)
//
// 'Turbo Parts' is come by easily, a made-up word is not. It is at least 1. Own
// formula.
func (w *wordCounts) most(kind Kind, name string) float64 {
	strangers := float64(w.accounts)
	for _, word := range strings.Fields(stemWords(name)) {
		share := w.share(word)
		for i := 3; i <= len(word)-3; i++ { // two words written as one
			if w.names[word[:i]] > 1 && w.names[word[i:]] > 1 {
				share = max(share, w.share(word[:i])*w.share(word[i:]))
			}
		}
		strangers *= share
	}
	return max(1, min(priors[kind].cap, 10*math.Log10(priors[kind].m/strangers)))
}

func (w *wordCounts) share(word string) float64 {
	return (float64(max(0, w.names[word]-1)) + 0.1) / float64(w.accounts+priorSellers)
}

func (s *Seller) nameQuote(name string) Quote {
	return Quote{Seller: s.Key, Listing: s.nameAt[name], Field: listing.Seller, Raw: name}
}

// places lists the places of business or dispatch that at least two sellers
// share.
func (x *Index) places() []Value {
	g := newGather()
	for _, key := range x.keys {
		for _, q := range x.sellers[key].places {
			g.add(Place, NormalName(q.Raw), q)
		}
	}
	return g.shared()
}

// names lists the distinct names with their sellers.
func (x *Index) names() []named {
	at := map[string]int{}
	var list []named
	for _, key := range x.keys {
		s := x.sellers[key]
		for _, name := range s.Names {
			normal := NormalName(name)
			if normal == "" {
				continue
			}
			i, ok := at[normal]
			if !ok {
				i = len(list)
				at[normal] = i
				list = append(list, named{normal: normal, stem: stem(normal), letters: []rune(normal)})
			}
			if n := &list[i]; len(n.quotes) == 0 || n.quotes[len(n.quotes)-1].Seller != key {
				n.quotes = append(n.quotes, s.nameQuote(name))
			}
		}
	}
	return list
}
