package rules

import (
	"context"
	"math"
	"strings"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/rules/gtin"
	"counterfoil/rules/market"
	"counterfoil/rules/parts"
	"counterfoil/rules/pricing"
	"counterfoil/rules/wording"
)

// Compared holds further facts that several listings of a batch give together.
type Compared struct {
	GTINs   *gtin.Index      // of listings that present the item as the maker's own
	Odd     *pricing.Odd     // odd prices that several sellers share
	Uniform *pricing.Uniform // sellers with one discount over all makers
	Low     *pricing.Low     // sellers whose parts are cheap throughout
	Names   *wording.Names   // makers' names
	// PlateParts is the part that the number on the plate resolves to, by
	// listing.
	PlateParts map[int]*parts.Part
	// Numbers are the numbers under which parts of the batch are offered, as
	// resolved.
	Numbers map[string]bool
	// Models are the model designations of all profiles. The owner of a hit is
	// the maker's name, a zero byte and the designation as the profile has it.
	Models    *wording.Names
	HasModels bool
	// Launched is the month in which a part was launched, by part.
	Launched map[string]time.Time
}

// buildProfiles takes from the profiles what rules look up by text or part.
func (f *Facts) buildProfiles(resolver *parts.Resolver, c *Compared) {
	for _, m := range f.Brands {
		c.Names.Add(m.Name, append([]string{m.Name}, m.Also...)...)
	}
	if f.Makers == nil {
		return
	}
	for i := range f.Makers.List {
		m := &f.Makers.List[i]
		for _, list := range m.Models {
			for _, model := range list {
				c.HasModels = true
				c.Models.Add(m.Name+"\x00"+model, model, strings.ReplaceAll(model, "-", " "), strings.ReplaceAll(model, "-", ""))
			}
		}
		for number, month := range m.Launched {
			if at, ok := startOf(month); ok {
				c.Launched[resolver.Number(number)] = at
			}
		}
	}
}

func (f *Facts) buildCompared(resolver *parts.Resolver) {
	c := Compared{Names: wording.NewNames(), PlateParts: map[int]*parts.Part{}, Numbers: map[string]bool{},
		Models: wording.NewNames(), Launched: map[string]time.Time{}}
	f.buildProfiles(resolver, &c)
	var uses []gtin.Use
	var ratios, usual []pricing.Ratio
	offers := make([]pricing.Offer, 0, len(f.Listings))
	ratioOf := f.usualRatios()
	for i, l := range f.Listings {
		part, seller := f.Parts[i], f.SellerGroups[i]
		if plate := l.Value(listing.PlatePartNumber); plate != "" {
			c.PlateParts[i] = plateOf(resolver, l, plate)
		}
		if part.ID == "" || len(part.Other) > 0 {
			continue
		}
		if part.Field == listing.PartNumber {
			c.Numbers[part.Number] = true
		}
		if seller == "" {
			continue
		}
		own := presentsAsMaker(f.Claims.Summary(i))
		if g := l.Value(listing.GTIN); own && part.Field == listing.PartNumber && listing.IsGTIN(g) {
			uses = append(uses, gtin.Use{Listing: i, Seller: seller, Part: part.ID, GTIN: g})
		}
		if f.Landed[i].Excluded != "" {
			continue
		}
		if market, price, ok := f.marketOf(i, l); ok {
			offers = append(offers, pricing.Offer{Listing: i, Seller: seller, Minor: price.Minor, Market: market})
		}
		if ratio := ratioOf[i]; !math.IsNaN(ratio) {
			usual = append(usual, pricing.Ratio{Listing: i, Seller: seller, Part: part.ID, Value: ratio})
		}
		if own && len(f.Reference) > 0 && part.Maker != nil {
			if ratio, ok := f.itemRatio(i); ok {
				ratios = append(ratios, pricing.Ratio{Listing: i, Seller: seller, Maker: part.Maker.Name, Part: part.ID, Value: ratio})
			}
		}
	}
	f.atOnce(func() { c.GTINs = gtin.Build(uses) }, func() { c.Odd = pricing.BuildOdd(offers) },
		func() { c.Low = pricing.BuildLow(usual) }, func() {
			c.Uniform = pricing.BuildUniform(ratios, pricing.UniformLimits{
				Parts: int(f.limit("uniform-parts")), Makers: int(f.limit("uniform-makers")), Ratio: f.limit("uniform-ratio"),
				Within: f.limit("uniform-within"), Share: f.limit("uniform-share")})
		})
	f.Compared = c
}

// usualRatios gives usualRatio of each listing that presents a new item as the
// maker's own, NaN where there is none.
func (f *Facts) usualRatios() []float64 {
	list := make([]float64, len(f.Listings))
	eachChunk(context.Background(), len(list), f.Jobs, func(i int) {
		list[i] = math.NaN()
		if !presentsAsMaker(f.Claims.Summary(i)) || !isNew(f.Listings[i]) {
			return
		}
		if m := f.Markets.Compare(i); m.Excluded == "" {
			if ratio, ok := usualRatio(&m); ok {
				list[i] = ratio
			}
		}
	})
	return list
}

// usualRatio is a price divided by the authorised price, else by the median of
// the other sellers.
func usualRatio(m *market.Assessment) (float64, bool) {
	if m.Reference != nil {
		return m.RatioToReference, true
	}
	return m.Ratio, m.Band != market.BandNone
}

// itemRatio is the item's price without shipping, divided by the authorised
// price: a seller who reprices by rule reprices the item.
func (f *Facts) itemRatio(n int) (float64, bool) {
	m := f.Markets.Compare(n)
	price, _ := f.Listings[n].Amount(listing.Price)
	if m.Reference == nil || m.Excluded != "" || price.Minor <= 0 {
		return 0, false
	}
	total := price.Minor
	if shipping, ok := f.Listings[n].Amount(listing.Shipping); ok && shipping.Minor > 0 {
		total += shipping.Minor
	}
	return m.RatioToReference * float64(price.Minor) / float64(total), true
}

// plateOf resolves the number on the plate as if it were the listing's part
// number.
func plateOf(resolver *parts.Resolver, l *listing.Listing, number string) *parts.Part {
	var plate listing.Listing
	plate.Set(listing.Field{Name: listing.PartNumber, Value: number, Raw: number})
	if brand, ok := l.Get(listing.Brand); ok {
		plate.Set(brand)
	}
	return resolver.Resolve(&plate)
}
