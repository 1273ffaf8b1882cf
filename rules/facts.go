package rules

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
	"counterfoil/rules/market"
	"counterfoil/rules/parts"
	"counterfoil/rules/photogroup"
	"counterfoil/rules/pricing"
	"counterfoil/rules/sellers"
	"counterfoil/rules/serials"
	"counterfoil/rules/settings"
	"counterfoil/rules/texts"
	"counterfoil/rules/userrules"
)

// Options are the user's settings for one run.
type Options struct {
	Makers      *settings.Makers // nil: makers are learned from the brand fields
	Reference   []settings.ReferencePrice
	Rates       []settings.Rate
	Equivalents []settings.Equivalence
	Weights     settings.Weights
	Phrases     []*claims.Lexicon     // the user's own, before the built-in ones
	Book        *userrules.Book       // the user's own rules and thresholds; may be nil
	Currency    string                // of the report; "" takes the most frequent of the batch
	AsOf        time.Time             // run time
	History     History               // what earlier runs saw; may be nil
	Jobs        int                   // goroutines; 0 takes one for each processor
	Progress    func(done, total int) // while the rules run, from several goroutines; may be nil
	Luma        LumaOf                // for comparing pieces of pictures; nil leaves that out
}

// Facts are what all rules share about a batch. Slices are indexed like
// Listings.
type Facts struct {
	Options
	Listings     []*listing.Listing
	Brands       []claims.Maker // brands whose names may be claimed
	Learned      bool           // Brands come from the brand fields of the batch
	Parts        []*parts.Part  // equal ones are one; not to be written to
	Claims       *claims.Batch
	Landed       []Landed
	SellerKeys   []string // "" when no seller was observed
	SellerGroups []string // accounts of one trader: a shared contact, or one name on several marketplaces
	Operators    []string // accounts that one operator may stand behind: those, and what Network groups
	Network      *sellers.Network
	Markets      *market.Set
	Serials      *serials.Index
	Photos       *photogroup.Index
	PhotoOf      []PhotoRef      // by the photo numbers of Photos
	FirstPhoto   []int           // number of a listing's first photo in PhotoOf
	Pieces       map[int][]Piece // by the photo number of the copy
	PiecesLeft   int             // pairs of pictures that were too many to compare
	Sellers      *sellers.Index
	Texts        *texts.Index
	Engine       *claims.Engine
	Compared     Compared // see compared.go
	Past         *Past    // what earlier runs saw of the batch; nil without a history

	operatorOf map[string]*operatorFacts // by Operators
	together   *pricing.Uniform          // by Operators

	stocks map[string]sellerStock // by seller group; nil without the user's own rules
}

// PhotoRef says which photo of which listing a photo number means.
type PhotoRef struct{ Listing, Photo int }

// Photo gives the photo that ref means.
func (f *Facts) Photo(ref PhotoRef) *listing.Photo {
	return &f.Listings[ref.Listing].Photos[ref.Photo]
}

// Landed is a listing's unit landed price in its own currency: item and
// shipping, divided by the lot quantity, without a refundable core deposit.
type Landed struct {
	Price      listing.Amount
	LowerBound bool   // something is still to be added
	Open       string // what, in words: "shipping not observed"
	Lot        int    // units the price buys
	Excluded   string // why the price cannot be compared, or ""
}

// Build computes the facts of a batch.
func Build(batch []*listing.Listing, opt Options) (*Facts, error) {
	f := &Facts{Options: opt, Listings: batch}
	if f.Currency == "" {
		f.Currency = usualCurrency(batch)
	}
	var err error
	if f.Brands, f.Learned, err = makersOf(batch, opt.Makers); err != nil {
		return nil, err
	}
	engine, err := claims.New(f.Brands, opt.Phrases...)
	if err != nil {
		return nil, fmt.Errorf("cannot use the makers' names: %w", err)
	}
	f.Engine = engine

	n := len(batch)
	f.Parts = make([]*parts.Part, n)
	f.Claims = claims.NewBatch(n)
	f.Landed = make([]Landed, n)
	resolver := parts.New(opt.Makers, opt.Equivalents)
	eachChunk(context.Background(), n, opt.Jobs, func(i int) {
		l := batch[i]
		f.Parts[i] = resolver.Resolve(l)
		says := engine.Read(claims.Texts(l), claims.Options{UnitType: l.Value(listing.UnitType)})
		f.Claims.Put(i, &says)
		f.Landed[i] = landed(l)
	})
	f.buildSellers()
	var prices []sellers.Value
	f.atOnce(f.buildTexts, func() { prices = f.sharedPrices() }, f.buildSerials, f.buildPhotos)
	f.buildNetwork(prices)
	f.atOnce(f.buildOperators, func() { f.buildMarkets(resolver) })
	f.buildPieces()
	f.buildCompared(resolver)
	f.buildTogether()
	if err := f.buildPast(); err != nil {
		return nil, err
	}
	if opt.Book != nil && len(opt.Book.Rules) > 0 {
		f.buildStock()
	}
	return f, nil
}

// atOnce makes facts of which none needs another, one after the other when there
// is one job.
func (f *Facts) atOnce(facts ...func()) {
	var wg sync.WaitGroup
	for _, build := range facts {
		wg.Go(build)
		if f.Jobs == 1 {
			wg.Wait()
		}
	}
	wg.Wait()
}

// weight is the rule's weight in decibans: the user's if given.
func (f *Facts) weight(r *Rule) float64 {
	if w, ok := f.Weights[r.ID]; ok {
		return w
	}
	return r.Weight
}

// usualCurrency is the most frequent currency, the first by the alphabet in a
// tie, EUR when no listing names one.
func usualCurrency(batch []*listing.Listing) string {
	n := map[string]int{}
	for _, l := range batch {
		if c := l.Value(listing.Currency); c != "" {
			n[c]++
		}
	}
	best := "EUR"
	for c, k := range n {
		if k > n[best] || k == n[best] && c < best {
			best = c
		}
	}
	return best
}

// A brand is learned as a maker's name when this many sellers use it.
const learnFrom = 3

// makersOf gives the names that may be claimed: those of the profiles, else
// the brands that several sellers of the batch use.
func makersOf(batch []*listing.Listing, profiles *settings.Makers) (list []claims.Maker, learned bool, err error) {
	if profiles != nil {
		for i := range profiles.List {
			list = append(list, claims.Maker{Name: profiles.List[i].Name, Also: profiles.List[i].Also})
		}
		return list, false, nil
	}
	plain, err := claims.New(nil)
	if err != nil {
		return nil, true, fmt.Errorf("cannot read the lexicon: %w", err)
	}
	users := map[string]map[string]bool{}
	spelling := map[string]string{}
	named := map[string]bool{} // brand fields read so far; most are repeated
	for _, l := range batch {
		brand := strings.TrimSpace(l.Value(listing.Brand))
		k := strings.ToLower(brand)
		isName, known := named[brand]
		if !known {
			isName = len(k) >= 3 && isPlainName(brand) && !saysNoBrand(plain, brand)
			named[brand] = isName
		}
		if !isName {
			continue
		}
		if users[k] == nil {
			users[k] = map[string]bool{}
		}
		users[k][l.SellerKey()] = true
		if s, ok := spelling[k]; !ok || brand < s {
			spelling[k] = brand
		}
	}
	for k, by := range users {
		if len(by) >= learnFrom {
			list = append(list, claims.Maker{Name: spelling[k]})
		}
	}
	slices.SortFunc(list, func(a, b claims.Maker) int { return cmp.Compare(a.Name, b.Name) })
	return list, true, nil
}

// saysNoBrand reports whether a brand field only says that there is no brand.
func saysNoBrand(e *claims.Engine, brand string) bool {
	r := e.Read([]claims.Text{{Field: listing.Brand, Raw: brand}}, claims.Options{})
	return r.BrandState == claims.BrandUnbranded
}

// isPlainName keeps a brand written with look-alike or invisible letters from
// being learned as a maker of its own.
func isPlainName(brand string) bool {
	for _, r := range brand {
		if r > 0x24f || r < ' ' {
			return false
		}
	}
	return true
}

func landed(l *listing.Listing) Landed {
	out := Landed{Lot: 1}
	price, ok := l.Amount(listing.Price)
	switch kind := l.Value(listing.PriceKind); {
	case !l.Has(listing.Price):
		out.Excluded = "no price was observed"
	case !l.Has(listing.Currency):
		out.Excluded = "the currency is not known"
	case !ok || price.Minor <= 0:
		out.Excluded = "the price is not above zero"
	case kind == listing.PriceBid:
		out.Excluded = "a running auction's bid is no price"
	case kind == listing.PriceFrom:
		out.Excluded = "a 'from' price or a range is no price of one item"
	case kind == listing.PriceRequest:
		out.Excluded = "price on request"
	}
	if out.Excluded != "" {
		return out
	}
	if lot, ok := l.Int(listing.LotQuantity); ok && lot > 1 {
		out.Lot = lot
	}
	total := price.Minor
	if shipping, ok := l.Amount(listing.Shipping); ok && shipping.Minor >= 0 {
		total += shipping.Minor
	} else {
		out.Open = "shipping not observed"
	}
	if l.Value(listing.PriceTax) == listing.TaxExcluded {
		out.Open = strings.TrimPrefix(out.Open+", price without tax", ", ")
	}
	out.LowerBound = out.Open != ""
	out.Price = listing.Amount{Minor: (total + int64(out.Lot)/2) / int64(out.Lot), Currency: price.Currency}
	return out
}

// Market claims. A listing that uses the maker's name as the item's brand and
// says nothing else is compared with the genuine offers, since that is what it
// presents itself as.
func marketClaim(s *claims.Summary) string {
	if s.Claim == claims.ClaimSilent && s.BrandAsMaker() {
		return market.ClaimGenuine
	}
	if s.Claim == claims.ClaimSilent {
		return "unknown"
	}
	return s.Claim
}

func (f *Facts) buildMarkets(resolver *parts.Resolver) {
	offers := make([]market.Offer, len(f.Listings))
	for i, l := range f.Listings {
		offers[i] = market.Offer{Listing: i, Part: f.Parts[i].ID,
			Unit:      cmp.Or(l.Value(listing.UnitType), listing.Complete),
			Condition: cmp.Or(l.Value(listing.Condition), listing.Unknown),
			Claim:     marketClaim(f.Claims.Summary(i)),
			Price:     f.Landed[i].Price, LowerBound: f.Landed[i].LowerBound,
			SellerGroup: f.Operators[i], Excluded: f.Landed[i].Excluded}
		if len(f.Parts[i].Other) > 0 && offers[i].Excluded == "" {
			offers[i].Excluded = "the numbers name several parts: " + strings.Join(append([]string{f.Parts[i].ID}, f.Parts[i].Other...), ", ")
		}
	}
	refs := make([]market.Reference, 0, len(f.Reference))
	for _, r := range f.Reference {
		for _, id := range resolver.IDs(r.Part) {
			refs = append(refs, market.Reference{Part: id, Unit: r.Unit, Condition: r.Condition,
				Price: r.Price, Date: r.Date.Format(time.DateOnly), Source: r.Source, Place: fmt.Sprintf("row %d", r.Line)})
		}
	}
	rates := make([]market.Rate, len(f.Rates))
	for i, r := range f.Rates {
		rates[i] = market.Rate{From: r.Base, To: r.Quote, Value: r.Rate, Date: r.Date, Source: r.Source, Place: fmt.Sprintf("row %d", r.Line)}
	}
	f.Markets = market.BuildSet(offers, refs, market.NewRates(rates, cmp.Or(f.thresholds().RateDays, userrules.DefaultRateDays)), f.Currency, f.AsOf, f.thresholds().Market)
}

// Host is the marketplace of a listing, as far as its address tells.
func Host(l *listing.Listing) string {
	host, _ := listing.Address(l.Value(listing.URL))
	return host
}
