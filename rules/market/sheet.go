package market

// Market is one market as a report prints it.
type Market struct {
	Key Key
	// Figures are those of all seller groups, no listing left out.
	Figures
	Band              Band
	Reference         *ReferenceUse // as in Assessment
	MedianToReference float64
	Groups            *TwoGroups
	Main              *MainGroup
	Dip               *Dip
	// MedianReliable is false with fewer than Settings.RatioFrom prices, with two
	// price groups, and when the median is under the stated share of the
	// reference.
	MedianReliable bool
	Included       []Entry // the price of each seller group, cheapest first
	Excluded       []Entry // by listing
	Warnings       []string
}

// Reasons for offers that are compared, but not by their own price.
const (
	reasonStandIn = "the median offer of the same seller group stands for it"
	reasonOwn     = "same seller group as the listing"
)

// Markets gives all markets, sorted by key, for the market sheet. It holds an
// entry for every offer.
func (x *Index) Markets() []Market {
	out := make([]Market, 0, len(x.markets))
	for _, m := range x.markets {
		out = append(out, x.sheetOf(m))
	}
	return out
}

func (x *Index) sheetOf(m *market) Market {
	v := m.pool.view(-1)
	f, substitute := v.figures(x.s.MADFloor)
	s := Market{Key: m.key, Figures: f, Band: x.band(f.N), Reference: m.ref.use, Groups: m.groups, Main: m.main, Dip: m.dip}
	if s.Reference != nil && s.Band != BandNone {
		s.MedianToReference = f.Median.Float() / s.Reference.InCurrency.Float()
	}
	s.MedianReliable = s.Band != BandNone && s.Groups == nil && !x.tooLow(s.Reference, s.MedianToReference)
	s.Included, s.Excluded = x.entries(v, false)
	s.Warnings = append(x.figureNotes(f, s.Band, s.Reference, s.MedianToReference, v, substitute), m.notes...)
	return s
}

// Inputs lists the prices a listing was compared with, cheapest first, and the
// offers of the market (of the wider group when it was widened) that were left
// out, with reasons, by listing.
func (x *Index) Inputs(number int) (included, excluded []Entry) {
	i, known := x.at(number)
	if !known || x.offers[i].market < 0 {
		return nil, nil
	}
	return x.entries(x.others(&x.offers[i], x.markets[x.offers[i].market]))
}

// Unplaced gives the offers that belong to no market since no part is known, by
// listing.
func (x *Index) Unplaced() []Entry {
	var out []Entry
	for _, o := range x.unplaced {
		out = append(out, x.entry(o, x.reasons[x.offers[o].reason]))
	}
	return out
}

// entries lists the offers of a pool, that of a market or of a wider group.
func (x *Index) entries(v view, wide bool) (included, excluded []Entry) {
	for i, o := range v.reps {
		if i != v.skip {
			included = append(included, x.entry(o, ""))
		}
	}
	for _, o := range v.members {
		p := x.offers[o].place
		if wide {
			p = x.offers[o].widePlace
		}
		switch {
		case p < 0:
			excluded = append(excluded, x.entry(o, x.reasons[x.offers[o].reason]))
		case int(p) == v.skip:
			excluded = append(excluded, x.entry(o, reasonOwn))
		case v.reps[p] != o:
			excluded = append(excluded, x.entry(o, reasonStandIn))
		}
	}
	return included, excluded
}

func (x *Index) entry(i int32, reason string) Entry {
	o := &x.offers[i]
	e := Entry{Listing: o.listing, Price: x.amount(o), Listed: x.listed(o), LowerBound: o.lowerBound, Reason: reason}
	if o.seller >= 0 {
		e.SellerGroup = x.sellers[o.seller]
	}
	return e
}
