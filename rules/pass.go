package rules

import (
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
	"counterfoil/rules/market"
	"counterfoil/rules/parts"
	"counterfoil/rules/settings"
	"counterfoil/rules/wording"
)

// Pass is one listing under examination together with the facts of the batch.
// Nothing in it may be changed.
type Pass struct {
	*Facts
	N       int // number of the listing in Facts.Listings
	Listing *listing.Listing
	Market  market.Assessment // of this listing

	// What several rules ask, worked out by the first that does.
	number struct {
		known     bool
		canonical string
		fields    []listing.Name
	}
	folds [2]fold
	says  *claims.Result
}

// fold is a folded text of the listing.
type fold struct {
	known bool
	text  string
}

// folded is the text of a field as [wording.Fold] has it. The title's and the
// description's, which many rules search, are folded once.
func (p *Pass) folded(n listing.Name) string {
	var f *fold
	switch n {
	case listing.Title:
		f = &p.folds[0]
	case listing.Description:
		f = &p.folds[1]
	default:
		return wording.Fold(p.text(n))
	}
	if !f.known {
		f.known, f.text = true, wording.Fold(p.text(n))
	}
	return f.text
}

// Part is the listing's resolved part.
func (p *Pass) Part() *parts.Part { return p.Facts.Parts[p.N] }

// Maker is the profile of the maker whose part the listing offers, nil if
// there is none.
func (p *Pass) Maker() *settings.Maker { return p.Facts.Parts[p.N].Maker }

// Says is what the listing's texts say the item is.
func (p *Pass) Says() *claims.Result {
	if p.says == nil {
		p.says = p.Claims.Result(p.N, p.Listing)
	}
	return p.says
}

// Landed is the listing's unit landed price.
func (p *Pass) Landed() Landed { return p.Facts.Landed[p.N] }

// SellerGroup names the sellers that count as one with the listing's seller,
// "" when no seller was observed.
func (p *Pass) SellerGroup() string { return p.Facts.SellerGroups[p.N] }

// Quote is the evidence of one of the listing's fields.
func (p *Pass) Quote(n listing.Name) Evidence { return Quote(p.Listing, n, "") }

// QuotePhrases is the evidence of phrases, at most limit of them.
func (p *Pass) QuotePhrases(phrases []claims.Phrase, limit int) []Evidence {
	var list []Evidence
	for _, ph := range phrases[:min(len(phrases), limit)] {
		list = append(list, Quote(p.Listing, ph.Field, ph.Quote))
	}
	return list
}

// PresentsAsMaker reports whether the listing offers the item as the maker's
// own part: in words, or by using the maker's name as the item's brand without
// saying that it is made to fit.
func (p *Pass) PresentsAsMaker() bool { return presentsAsMaker(p.Claims.Summary(p.N)) }

func presentsAsMaker(s *claims.Summary) bool {
	switch s.Claim {
	case claims.ClaimGenuine, claims.ClaimContradictory:
		return true
	case claims.ClaimSilent, claims.ClaimHedged:
		return s.BrandAsMaker()
	}
	return false
}

// IsNew reports whether the listing states the item to be new.
func (p *Pass) IsNew() bool {
	return isNew(p.Listing)
}

func isNew(l *listing.Listing) bool {
	c := l.Value(listing.Condition)
	return c == listing.New || c == listing.NewOldStock
}

// Money prints an amount with its currency: "312.40 EUR".
func Money(a listing.Amount) string { return a.String() + " " + a.Currency }

// Percent prints a ratio as a whole percentage.
func Percent(ratio float64) string { return fmt.Sprintf("%.0f %%", ratio*100) }

// count prints a number with its noun, adding an s for any number but one.
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
