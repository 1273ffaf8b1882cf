package rules

import (
	"math"
	"strconv"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/rules/market"
	"counterfoil/rules/serials"
	"counterfoil/rules/userrules"
)

// ownFact computes one fact of the user's rules.
type ownFact struct {
	// value gives the fact and, when it is unknown, what is lacking: its own
	// need, written itself, or one of needs.
	value func(*Pass) (any, Need)
	needs []Need
}

// itself stands for the fact's own need.
const itself Need = 255

// fact computes a fact.
func (p *Pass) fact(i int) (any, Need) {
	v, lack := ownFacts[i].value(p)
	if lack == itself {
		return nil, factNeed(i)
	}
	return v, lack
}

// ownFacts computes the facts, in the order of userrules.Facts.
var ownFacts = func() []ownFact {
	list := make([]ownFact, len(userrules.Facts))
	for i := range userrules.Facts {
		name, field := userrules.Facts[i].Name, userrules.Facts[i].Field
		f, ok := factValues[name]
		if !ok && name == "listing."+field.String() {
			f, ok = ownFact{value: func(p *Pass) (any, Need) { return text(p.Listing.Value(field)) }}, true
		}
		if !ok {
			panic("no value for the fact " + name)
		}
		list[i] = f
	}
	return list
}()

func text(s string) (any, Need) {
	if s == "" {
		return nil, itself
	}
	return userrules.Cut(s), noNeed
}

// ifKnown is for facts that hang on a condition.
func ifKnown(known bool, v any) (any, Need) {
	if !known {
		return nil, itself
	}
	return v, noNeed
}

// even takes the last digits off a computed number, so that half of the median
// is 0.5 and not a little more.
func even(x float64) float64 { return math.Round(x*1e9) / 1e9 }

// fieldNumber reads a fact from a number in a field of the listing.
func fieldNumber(n listing.Name) ownFact {
	return ownFact{value: func(p *Pass) (any, Need) {
		x, err := strconv.ParseFloat(p.Listing.Value(n), 64)
		return ifKnown(err == nil && x-x == 0, x) // x-x is not 0 for an infinite number
	}}
}

func fieldMoney(n listing.Name) ownFact {
	return ownFact{value: func(p *Pass) (any, Need) {
		a, ok := p.Listing.Amount(n)
		return ifKnown(ok, a.Float())
	}}
}

// compared is for facts of the market: they lack a rate, or themselves.
func compared(value func(*Pass) (any, Need)) ownFact {
	return ownFact{needs: []Need{NeedRate}, value: func(p *Pass) (any, Need) {
		if lack, ok := p.priceGap(); !ok {
			if lack == NeedRate {
				return nil, lack
			}
			return nil, itself
		}
		return value(p)
	}}
}

// referred is for facts of the reference price.
func referred(value func(*market.Assessment) float64) ownFact {
	f := compared(func(p *Pass) (any, Need) {
		if p.Market.Reference == nil {
			if !p.PresentsAsMaker() {
				return nil, itself // the authorised price is that of another product
			}
			return nil, NeedReference
		}
		return value(&p.Market), noNeed
	})
	f.needs = append(f.needs, NeedReference)
	return f
}

var factValues = map[string]ownFact{
	"listing.claim":       {value: func(p *Pass) (any, Need) { return p.Says().Claim, noNeed }},
	"listing.as_maker":    {value: func(p *Pass) (any, Need) { return p.PresentsAsMaker(), noNeed }},
	"listing.part":        {value: func(p *Pass) (any, Need) { return text(p.Part().ID) }},
	"listing.marketplace": {value: func(p *Pass) (any, Need) { return text(Host(p.Listing)) }},

	"price.listed":          fieldMoney(listing.Price),
	"price.shipping":        fieldMoney(listing.Shipping),
	"price.core_deposit":    fieldMoney(listing.CoreDeposit),
	"price.was":             fieldMoney(listing.PriceWas),
	"price.landed":          compared(func(p *Pass) (any, Need) { return p.Market.Price.Float(), noNeed }),
	"price.at_least":        compared(func(p *Pass) (any, Need) { return p.Market.LowerBound, noNeed }),
	"price.ratio":           compared(func(p *Pass) (any, Need) { return ifKnown(p.Market.Band != market.BandNone, even(p.Market.Ratio)) }),
	"price.z":               compared(func(p *Pass) (any, Need) { return ifKnown(p.Market.Scored, even(p.Market.Score)) }),
	"price.reference_ratio": referred(func(m *market.Assessment) float64 { return even(m.RatioToReference) }),

	"market.n":          compared(func(p *Pass) (any, Need) { return float64(p.Market.N), noNeed }),
	"market.band":       compared(func(p *Pass) (any, Need) { return string(p.Market.Band), noNeed }),
	"market.median":     compared(func(p *Pass) (any, Need) { return ifKnown(p.Market.Band != market.BandNone, p.Market.Median.Float()) }),
	"market.widened":    compared(func(p *Pass) (any, Need) { return p.Market.Widened != "", noNeed }),
	"market.two_groups": compared(func(p *Pass) (any, Need) { return ifKnown(p.Market.Band != market.BandNone, p.Market.Groups != nil) }),
	"market.reference":  referred(func(m *market.Assessment) float64 { return m.Reference.InCurrency.Float() }),

	"quantity.available": fieldNumber(listing.QuantityAvailable),
	"quantity.lot":       fieldNumber(listing.LotQuantity),
	"quantity.minimum":   fieldNumber(listing.MinimumOrder),

	"serial.sellers":     {value: (*Pass).serialSellers},
	"serial.placeholder": {value: (*Pass).serialIsPlaceholder},

	"photos.known":     {value: func(p *Pass) (any, Need) { return p.Listing.PhotosKnown, noNeed }},
	"photos.count":     {value: func(p *Pass) (any, Need) { return ifKnown(p.Listing.PhotosKnown, float64(len(p.Listing.Photos))) }},
	"photos.with_view": {value: (*Pass).photosWithView},
	"photos.views":     {value: (*Pass).photoViews},
	"photos.sellers":   {value: (*Pass).photoSellers},

	"seller.group_size":     {value: func(p *Pass) (any, Need) { s, ok := p.stock(); return ifKnown(ok, float64(s.accounts)) }},
	"seller.listings":       {value: func(p *Pass) (any, Need) { s, ok := p.stock(); return ifKnown(ok, float64(s.listings)) }},
	"seller.quantity":       {value: func(p *Pass) (any, Need) { s, ok := p.stock(); return ifKnown(ok && s.stated > 0, float64(s.quantity)) }},
	"seller.account_days":   {value: (*Pass).accountDays},
	"seller.feedback":       fieldNumber(listing.SellerFeedback),
	"seller.feedback_count": fieldNumber(listing.SellerFeedbackCount),
}

func (p *Pass) serialSellers() (any, Need) {
	serial, _ := p.serial()
	own := p.SellerGroup()
	if serial == "" || own == "" {
		return nil, itself
	}
	groups := map[string]bool{}
	for _, s := range p.Serials.Of(serial) {
		if s.Seller != "" && s.Seller != own {
			groups[s.Seller] = true
		}
	}
	return float64(len(groups)), noNeed
}

func (p *Pass) serialIsPlaceholder() (any, Need) {
	seen := false
	for _, n := range serialFields {
		s := p.Listing.Value(n)
		if s == "" {
			continue
		}
		seen = true
		if _, filler := serials.Placeholder(s); filler {
			return true, noNeed
		}
	}
	return ifKnown(seen, false)
}

func (p *Pass) photosWithView() (any, Need) {
	_, known := p.views()
	return ifKnown(p.Listing.PhotosKnown, float64(known))
}

func (p *Pass) photoViews() (any, Need) {
	shown := p.Listing.ShownViews()
	return ifKnown(len(shown) > 0, shown)
}

func (p *Pass) photoSellers() (any, Need) {
	if _, ok := p.photoGap(); !ok || p.SellerGroup() == "" {
		return nil, itself
	}
	groups := map[string]bool{}
	for _, s := range p.sharedPhotos() {
		for _, ref := range s.others {
			groups[p.SellerGroups[ref.Listing]] = true
		}
	}
	return float64(len(groups)), noNeed
}

func (p *Pass) accountDays() (any, Need) {
	since, ok := startOf(p.Listing.Value(listing.SellerSince))
	at, captured := startOf(p.Listing.Value(listing.CapturedAt))
	if !captured {
		at = p.AsOf
	}
	return ifKnown(ok, float64(at.Sub(since)/(24*time.Hour)))
}

// sellerStock is what a group of sellers has in the batch.
type sellerStock struct {
	accounts, listings int
	quantity, stated   int // units, and listings that state a quantity
}

// buildStock counts what each seller group has.
func (f *Facts) buildStock() {
	f.stocks = map[string]sellerStock{}
	seen := map[string]bool{}
	for i, l := range f.Listings {
		group := f.SellerGroups[i]
		if group == "" {
			continue
		}
		s := f.stocks[group]
		if !seen[f.SellerKeys[i]] {
			seen[f.SellerKeys[i]] = true
			s.accounts++
		}
		s.listings++
		if n, ok := l.Int(listing.QuantityAvailable); ok && n >= 0 {
			s.quantity += min(n, maxStock)
			s.stated++
		}
		f.stocks[group] = s
	}
}

// maxStock bounds what one listing adds to its seller's stock.
const maxStock = 1e9

func (p *Pass) stock() (sellerStock, bool) {
	s, ok := p.stocks[p.SellerGroup()]
	return s, ok
}
