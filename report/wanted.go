package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules"
	"counterfoil/rules/claims"
	"counterfoil/rules/parts"
	"counterfoil/rules/serials"
	"counterfoil/rules/settings"
)

// Wanted is the part for which a buyer looks for offers.
type Wanted struct {
	Asked   string      // as the user wrote it
	Part    *parts.Part // as resolved
	Numbers []settings.Equivalence
	// Offers are those to consider, least evidence against them first; Apart are
	// the other offers of the part, by rank.
	Offers, Apart []*rules.Judged
}

// FindWanted resolves a part number as the listings' own are resolved, and
// gathers the offers of the part. Offers to consider are those for which
// nothing was found and that show enough to judge; they stand by unit and
// condition, which are bought for different ends, then by whether they are called
// the maker's own part or made to fit, then by the word for their evidence, since decibels within a word mean little, then by landed price.
func FindWanted(res *rules.Result, asked string) (*Wanted, error) {
	resolver := parts.New(res.Facts.Makers, res.Facts.Equivalents)
	var l listing.Listing
	l.Set(listing.Field{Name: listing.PartNumber, Value: asked, Raw: asked})
	w := &Wanted{Asked: asked, Part: resolver.Resolve(&l)}
	if w.Part.ID == "" {
		return nil, fmt.Errorf("%q is not a part number", asked)
	}
	for _, e := range res.Facts.Equivalents {
		if resolver.Number(e.Part) == w.Part.ID || resolver.Number(e.Same) == w.Part.ID {
			w.Numbers = append(w.Numbers, e)
		}
	}
	for _, j := range res.Ranked {
		switch part := res.Facts.Parts[j.N]; {
		case part.ID != w.Part.ID && !slices.Contains(part.Other, w.Part.ID):
		case j.Outcome == rules.NothingFound && len(part.Other) == 0:
			w.Offers = append(w.Offers, j)
		default:
			w.Apart = append(w.Apart, j)
		}
	}
	slices.SortStableFunc(w.Offers, func(a, b *rules.Judged) int {
		return cmp.Or(kindStep(a.Listing)-kindStep(b.Listing), claimStep(res, a)-claimStep(res, b), supportStep(a)-supportStep(b), comparePrices(res, a, b),
			cmp.Compare(b.Coverage, a.Coverage), cmp.Compare(a.Listing.Key, b.Listing.Key))
	})
	return w, nil
}

// kindStep puts complete units before others, new ones before worn ones, and
// cores last of all. A unit that is not stated is taken for a complete one, as
// markets do.
func kindStep(l *listing.Listing) int {
	condition := cmp.Or(l.Value(listing.Condition), listing.Unknown)
	if condition == listing.Core {
		return len(listing.UnitTypes) * len(listing.Conditions)
	}
	return max(0, slices.Index(listing.UnitTypes, l.Value(listing.UnitType)))*len(listing.Conditions) +
		slices.Index(listing.Conditions, condition)
}

// claimStep puts what is called the maker's own part before what does not say,
// and that before what is made to fit.
func claimStep(res *rules.Result, j *rules.Judged) int {
	switch res.Facts.Claims.Summary(j.N).Claim {
	case claims.ClaimGenuine:
		return 0
	case claims.ClaimCompatible:
		return 2
	}
	return 1
}

// supportStep is the place of a listing's word on the verbal scale.
func supportStep(j *rules.Judged) int {
	return slices.Index([]string{rules.SupportNone, rules.SupportWeak, rules.SupportModerate,
		rules.SupportModeratelyStrong, rules.SupportStrong, rules.SupportVeryStrong}, j.Support)
}

// comparePrices puts the run's currency before others, and offers without a
// comparable price last.
func comparePrices(res *rules.Result, a, b *rules.Judged) int {
	group := func(j *rules.Judged) int {
		switch p := j.Price; {
		case p.Minor <= 0:
			return 2
		case p.Currency != res.Facts.Currency:
			return 1
		}
		return 0
	}
	return cmp.Or(group(a)-group(b), cmp.Compare(a.Price.Currency, b.Price.Currency),
		cmp.Compare(a.Price.Minor, b.Price.Minor))
}

// WhyApart says why an offer of the wanted part is not among those to consider.
func (w *Wanted) WhyApart(res *rules.Result, j *rules.Judged) string {
	if part := res.Facts.Parts[j.N]; len(part.Other) > 0 {
		return "its numbers name several parts"
	}
	return OutcomeText(j.Outcome)
}

// SpeaksFor lists what speaks for an offer: the findings that do, and what it
// shows of the unit and of its terms.
func SpeaksFor(res *rules.Result, j *rules.Judged) []string {
	var out []string
	for i := range j.Findings {
		if j.Findings[i].WeightDB < 0 {
			out = append(out, Sentence(j.Findings[i].Statement))
		}
	}
	l := j.Listing
	if views := l.ShownViews(); len(views) > 0 {
		out = append(out, "Photos show: "+ViewsText(views)+".")
	}
	if s := l.Value(listing.SerialNumber); s != "" && !slices.ContainsFunc(res.Facts.Serials.Of(s),
		func(at serials.Sighting) bool { return at.Listing != j.N }) {
		out = append(out, "The serial "+s+" is stated, and stands in no other listing of the batch.")
	}
	if r := l.Value(listing.Returns); r != "" {
		out = append(out, "Returns: "+Sentence(listing.Shorten(r, 60)))
	}
	if w := l.Value(listing.Warranty); w != "" {
		out = append(out, "Warranty: "+Sentence(listing.Shorten(w, 60)))
	}
	return out
}

// ViewsText names views: "serial plate, box label".
func ViewsText(views []string) string {
	return strings.ReplaceAll(strings.Join(views, ", "), "-", " ")
}
