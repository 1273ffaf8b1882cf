package rules

import (
	"strconv"

	"counterfoil/parse/listing"
	"counterfoil/rules/pricing"
	"counterfoil/rules/sellers"
)

// operatorFacts is what the accounts of one operator show together.
type operatorFacts struct {
	// Ratings of the accounts that state share and number.
	ratings  int
	good     float64
	rated    map[string]bool // accounts counted
	youngest map[string]bool // accounts opened lately that offer new branded goods
	units    int             // what they offer
	// failed is by account the first number whose check digits do not hold.
	failed map[string]sellers.Contact
}

// buildOperators adds up what rules ask of an operator's accounts together.
func (f *Facts) buildOperators() {
	f.operatorOf = map[string]*operatorFacts{}
	for n, l := range f.Listings {
		key := f.Operators[n]
		if key == "" {
			continue
		}
		o := f.operatorOf[key]
		if o == nil {
			o = &operatorFacts{rated: map[string]bool{}, youngest: map[string]bool{}, failed: map[string]sellers.Contact{}}
			f.operatorOf[key] = o
		}
		account := f.SellerKeys[n]
		if share, count, ok := ratingsOf(l); ok && !o.rated[account] {
			o.rated[account] = true
			o.ratings += count
			o.good += share * float64(count)
		}
		if units, ok := l.Int(listing.QuantityAvailable); ok && units > 0 && f.youngGoods(n) {
			o.youngest[account] = true
			o.units += min(units, 1e9)
		}
		for _, c := range f.Sellers.Contacts(n) {
			if _, known := o.failed[account]; c.Check == sellers.CheckFails && !known {
				o.failed[account] = c
			}
		}
	}
}

// buildTogether finds groups of accounts that offer all makers at one discount
// together.
func (f *Facts) buildTogether() {
	var ratios []pricing.Ratio
	if len(f.Reference) > 0 {
		for n := range f.Listings {
			part := f.Parts[n]
			if f.Operators[n] == "" || part.Maker == nil || part.ID == "" || len(part.Other) > 0 || f.Landed[n].Excluded != "" || !presentsAsMaker(f.Claims.Summary(n)) {
				continue
			}
			if ratio, ok := f.itemRatio(n); ok {
				ratios = append(ratios, pricing.Ratio{Listing: n, Seller: f.Operators[n], Maker: part.Maker.Name, Part: part.ID, Value: ratio})
			}
		}
	}
	f.together = pricing.BuildUniform(ratios, pricing.UniformLimits{
		Parts: int(f.limit("uniform-parts")), Makers: int(f.limit("uniform-makers")), Ratio: f.limit("uniform-ratio"),
		Within: f.limit("uniform-within"), Share: f.limit("uniform-share")})
}

// operator is what is known of the operator of the listing's account.
func (p *Pass) operator() *operatorFacts {
	if o := p.operatorOf[p.Operators[p.N]]; o != nil {
		return o
	}
	return &operatorFacts{}
}

// ratingsOf gives the share of good ratings, 0 to 1, and their number.
func ratingsOf(l *listing.Listing) (share float64, count int, ok bool) {
	percent, err := strconv.ParseFloat(l.Value(listing.SellerFeedback), 64)
	count, counted := l.Int(listing.SellerFeedbackCount)
	if err != nil || percent < 0 || percent > 100 || !counted || count <= 0 {
		return 0, 0, false
	}
	return percent / 100, min(count, 1e9), true
}

// youngGoods reports whether a listing offers new goods as the maker's own at an
// account opened lately, as [YoungAccountStock] has it.
func (f *Facts) youngGoods(n int) bool {
	l := f.Listings[n]
	since, ok := startOf(l.Value(listing.SellerSince))
	if !ok {
		return false
	}
	at, ok := startOf(l.Value(listing.CapturedAt))
	if !ok {
		at = f.AsOf
	}
	p := Pass{Facts: f, N: n, Listing: l}
	return at.Sub(since).Hours() <= 24*f.limit("account-days") && p.IsNew() && p.PresentsAsMaker()
}
