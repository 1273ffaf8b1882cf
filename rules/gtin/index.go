package gtin

import (
	"cmp"
	"slices"
)

// Use is one valid GTIN on one listing that offers one part.
type Use struct {
	Listing      int
	Seller, Part string // seller group and part, neither ""
	GTIN         string
}

// Index says which parts share a GTIN, and which GTIN the sellers of a part
// agree on. It is not changed after Build.
type Index struct {
	parts  map[string][]Use // by GTIN, one use for each part
	agreed map[string]Agreed
}

// Agreed is the GTIN that most sellers of a part give.
type Agreed struct {
	GTIN    string // in the form of Twelve
	Sellers int
	Of      int // sellers that give any
	Use     Use // the first of them
}

// Build indexes the uses.
func Build(uses []Use) *Index {
	x := &Index{parts: map[string][]Use{}, agreed: map[string]Agreed{}}
	list := slices.Clone(uses)
	for i := range list {
		list[i].GTIN = Twelve(list[i].GTIN)
	}
	slices.SortFunc(list, func(a, b Use) int {
		return cmp.Or(cmp.Compare(a.Part, b.Part), cmp.Compare(a.GTIN, b.GTIN),
			cmp.Compare(a.Seller, b.Seller), cmp.Compare(a.Listing, b.Listing))
	})
	for from := 0; from < len(list); {
		to := from
		sellers := map[string]bool{}
		best := Agreed{}
		for to < len(list) && list[to].Part == list[from].Part {
			start, n := to, 0
			for to < len(list) && list[to].Part == list[from].Part && list[to].GTIN == list[start].GTIN {
				if to == start || list[to].Seller != list[to-1].Seller {
					n++
				}
				sellers[list[to].Seller] = true
				to++
			}
			x.parts[list[start].GTIN] = append(x.parts[list[start].GTIN], list[start])
			if n > best.Sellers {
				best = Agreed{GTIN: list[start].GTIN, Sellers: n, Use: list[start]}
			}
		}
		best.Of = len(sellers)
		x.agreed[list[from].Part] = best
		from = to
	}
	return x
}

// Parts gives one use for each part that a GTIN stands on, by part. The slice
// belongs to the index.
func (x *Index) Parts(valid string) []Use { return x.parts[Twelve(valid)] }

// Agreed gives the GTIN that most sellers of the part give; the zero value
// when none gives any.
func (x *Index) Agreed(part string) Agreed { return x.agreed[part] }
