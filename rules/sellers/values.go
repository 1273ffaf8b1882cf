package sellers

import (
	"slices"

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
	return g.shared()
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
