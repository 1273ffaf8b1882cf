package evidence

import (
	"cmp"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

// candidates bounds how many listings and photos are looked at for one quote.
const candidates = 500

// lookup finds what a quote was taken from. It knows only the files and rows
// that the findings of the set quote.
type lookup struct {
	res      *rules.Result
	byNumber []*rules.Judged
	listings map[row][]int               // numbers of listings
	photos   map[string][]rules.PhotoRef // by SHA-256
	groups   map[string][]int            // listings of the seller groups of the set, by rank
}

type row struct {
	file string
	row  int
}

func newLookup(res *rules.Result, paged []*rules.Judged) *lookup {
	x := &lookup{res: res, byNumber: make([]*rules.Judged, len(res.Facts.Listings)),
		listings: map[row][]int{}, photos: map[string][]rules.PhotoRef{}, groups: map[string][]int{}}
	for _, j := range paged {
		for i := range j.Findings {
			for _, e := range j.Findings[i].Evidence {
				x.listings[row{e.File, int(listing.ParsePlace(e.Place).Row)}] = nil
				x.photos[e.SHA256] = nil
			}
		}
		if g := x.group(j.N); g != "" {
			x.groups[g] = nil
		}
	}
	for _, j := range res.Ranked {
		x.byNumber[j.N] = j
		if g := x.group(j.N); g != "" {
			if list, ok := x.groups[g]; ok {
				x.groups[g] = append(list, j.N)
			}
		}
	}
	for n, l := range res.Facts.Listings {
		if x.byNumber[n] == nil { // set apart as the user's own, see report.SetApart
			x.byNumber[n] = &rules.Judged{Facts: res.Facts, N: n, Listing: l, Price: res.Facts.Markets.Compare(n).Price}
		}
		at := row{report.FileText(l.File, l.Entry), l.Row}
		if list, ok := x.listings[at]; ok {
			x.listings[at] = append(list, n)
		}
		for k := range l.Photos {
			sha := l.Photos[k].SHA256
			if list, ok := x.photos[sha]; ok && sha != "" {
				x.photos[sha] = append(list, rules.PhotoRef{Listing: n, Photo: k})
			}
		}
	}
	return x
}

func (x *lookup) group(n int) string {
	if groups := x.res.Facts.SellerGroups; n < len(groups) {
		return groups[n]
	}
	return ""
}

// photo finds the photo that a piece of evidence quotes, one of the listing's
// own before others.
func (x *lookup) photo(own int, e rules.Evidence) (ref rules.PhotoRef, ok bool) {
	for _, r := range first(x.photos[e.SHA256], candidates) {
		p := x.res.Facts.Photo(r)
		if report.FileText(p.File, p.Entry) != e.File || p.From.String() != e.Place {
			continue
		}
		if r.Listing == own {
			return r, true
		}
		if !ok {
			ref, ok = r, true
		}
	}
	return ref, ok
}

// field finds the field that a piece of evidence quotes, the quote in it, and
// the listing, one's own before others. ok is false when no field has the quote
// at that place; the listing may be known all the same, else it is -1.
func (x *lookup) field(own int, e rules.Evidence) (v quoteView, of int, ok bool) {
	at := row{e.File, int(listing.ParsePlace(e.Place).Row)}
	numbers := first(x.listings[at], candidates)
	if l := x.res.Facts.Listings[own]; report.FileText(l.File, l.Entry) == e.File {
		if v, ok := quoteIn(l, e); ok {
			return v, own, true
		}
	}
	for _, n := range numbers {
		if v, ok := quoteIn(x.res.Facts.Listings[n], e); ok {
			return v, n, true
		}
	}
	v = quoteView{Quote: see(e.Quote, textLimit), Place: see(e.Place, textLimit)}
	if len(numbers) == 1 {
		return v, numbers[0], false
	}
	return v, -1, false
}

// quoteIn looks for the quote in the fields of a listing, then in the values
// that lost against them.
func quoteIn(l *listing.Listing, e rules.Evidence) (quoteView, bool) {
	try := func(f listing.Field) (quoteView, bool) {
		place := f.From.String()
		if f.From.Row == 0 && f.From.Path == "" {
			place = f.Name.String()
		}
		if place != e.Place {
			return quoteView{}, false
		}
		v, ok := inContext(f.Raw, e.Quote)
		v.Field, v.Place, v.Lang = fieldText(f.Name), see(place, textLimit), langOf(l)
		return v, ok
	}
	for _, f := range l.Fields() {
		if v, ok := try(f); ok {
			return v, true
		}
	}
	for i := range l.Disagreements {
		if v, ok := try(l.Disagreements[i].Other); ok {
			return v, true
		}
	}
	return quoteView{}, false
}

// fieldText is a field's name as people read it.
func fieldText(n listing.Name) string {
	switch n {
	case listing.URL, listing.GTIN, listing.SKU:
		return strings.ToUpper(n.String())
	case listing.OENumbers:
		return "OE numbers"
	}
	return strings.ReplaceAll(n.String(), "_", " ")
}

// byRank sorts listing numbers by rank and drops doubles.
func (x *lookup) byRank(numbers []int) []int {
	slices.SortFunc(numbers, func(a, b int) int { return cmp.Compare(x.byNumber[a].Rank, x.byNumber[b].Rank) })
	return slices.Compact(numbers)
}

// first gives at most n elements.
func first[T any](list []T, n int) []T { return list[:min(len(list), n)] }
