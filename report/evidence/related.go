package evidence

import (
	"cmp"
	"fmt"
	"slices"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

// relatedItems bounds each list of related listings.
const relatedItems = 12

// refView names another listing.
type refView struct {
	Rank   int
	Title  string
	Seller string
	Price  string
	Lang   string
	Page   string // file name of its page, "" when it has none
}

func (s *Set) ref(n int) refView {
	j := s.look.byNumber[n]
	v := refView{Rank: j.Rank, Title: see(cmp.Or(j.Listing.Value(listing.Title), j.Listing.Key), 120), Seller: sellerOf(j.Listing),
		Price: report.PriceShort(j.Market()), Lang: langOf(j.Listing)}
	if s.has(j) {
		v.Page = pageFile(j)
	}
	return v
}

// relatedView is one way in which other listings hang together with this one.
type relatedView struct {
	How   string
	Means string
	Items []refView
	More  int
}

func (s *Set) related(j *rules.Judged) []relatedView {
	var list []relatedView
	add := func(how, means string, numbers []int) {
		numbers = slices.DeleteFunc(slices.Clone(numbers), func(n int) bool { return n == j.N })
		numbers = s.look.byRank(numbers)
		if len(numbers) == 0 {
			return
		}
		v := relatedView{How: how, Means: means, More: max(0, len(numbers)-relatedItems)}
		for _, n := range first(numbers, relatedItems) {
			v.Items = append(v.Items, s.ref(n))
		}
		list = append(list, v)
	}
	add("The same serial", "A serial names one unit, so at most one of these sellers has it.", s.sameSerial(j.Listing))
	own, catalogue := s.samePhoto(j)
	add("The same picture", "Feeds and stolen pictures do that too.", own)
	add("The same catalogue picture", "Most sellers of the part use it. It says little.", catalogue)
	add("Nearly the same description", "A feed, the maker's text or a copy.", s.sameText(j))
	add("The same seller, or accounts that count as one with it", "A link is no accusation.", s.look.groups[s.look.group(j.N)])
	return list
}

func (s *Set) sameSerial(l *listing.Listing) (numbers []int) {
	for _, n := range []listing.Name{listing.SerialNumber, listing.PlateSerial, listing.BoxSerial} {
		if serial := l.Value(n); serial != "" {
			for _, at := range s.res.Facts.Serials.Of(serial) {
				numbers = append(numbers, at.Listing)
			}
		}
	}
	return numbers
}

func (s *Set) samePhoto(j *rules.Judged) (own, catalogue []int) {
	f := s.res.Facts
	if j.N >= len(f.FirstPhoto) {
		return nil, nil
	}
	for k := range j.Listing.Photos {
		g := f.Photos.Of(f.FirstPhoto[j.N] + k)
		if g == nil {
			continue
		}
		to := &own
		if g.Catalogue {
			to = &catalogue
		}
		for _, m := range g.Members {
			*to = append(*to, f.PhotoOf[m.Photo].Listing)
		}
	}
	return own, catalogue
}

func (s *Set) sameText(j *rules.Judged) (numbers []int) {
	if s.res.Facts.Texts == nil {
		return nil
	}
	if g := s.res.Facts.Texts.Of(j.N); g != nil {
		for _, m := range g.Members {
			numbers = append(numbers, m.Listing)
		}
	}
	return numbers
}

// RankText is how a list names the rank: "rank 12", or that a listing was set
// apart as the user's own and has none.
func (v refView) RankText() string {
	if v.Rank == 0 {
		return "own listing"
	}
	return fmt.Sprintf("rank %d", v.Rank)
}
