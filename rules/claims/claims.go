package claims

import (
	"slices"

	"counterfoil/parse/listing"
)

// Words for Result.Claim: what the texts say the item is. The text is judged,
// never the item.
const (
	ClaimGenuine       = "genuine"       // the maker's own part
	ClaimCompatible    = "compatible"    // made by another to fit: honest aftermarket
	ClaimHedged        = "hedged"        // leans on the original without claiming it
	ClaimCopy          = "copy"          // openly told to be a copy
	ClaimContradictory = "contradictory" // genuine and compatible for the same item
	ClaimSilent        = "silent"        // says nothing either way
)

// Claims lists the words a Result's Claim may hold.
var Claims = []string{ClaimGenuine, ClaimCompatible, ClaimHedged, ClaimCopy, ClaimContradictory, ClaimSilent}

// Stance is the kind of statement a phrase makes.
type Stance string

// The stances and, where a rule needs to tell them apart, the codes of the
// built-in lexicon. A phrase without a code of its own carries its stance as
// the code.
const (
	Genuine     Stance = "genuine"      // genuine, packaging, factory-original, sealed-box
	Compatible  Stance = "compatible"   // aftermarket, replaces, compatible-with, fits
	Hedge       Stance = "hedge"        // oem, oem-quality, like-original, top-quality
	Copy        Stance = "copy"         // replica, grade
	Condition   Stance = "condition"    // new, new-old-stock, remanufactured, rebuilt, used, core, parts-only, exchange, core-charge, tested, bench-tested, cleaned
	NoReturns   Stance = "no-returns"   // no-returns, as-is, no-warranty
	OffPlatform Stance = "off-platform" // contact, payment, cheaper-direct
	Branding    Stance = "branding"     // neutral-box, no-logo, custom
	Origin      Stance = "vague-origin" // imported, technology
	Domestic    Stance = "domestic-made"
	Surplus     Stance = "surplus" // surplus, same-factory
	LogoRemoved Stance = "logo-removed"
	Dealer      Stance = "authorised-dealer"
	Reference   Stance = "reference-only" // names for reference only, no affiliation
	Upgrade     Stance = "upgrade"        // billet, upgraded
	Gift        Stance = "gift"
)

// Stances lists all stances in their fixed order.
var Stances = []Stance{Genuine, Compatible, Hedge, Copy, Condition, NoReturns, OffPlatform, Branding,
	Origin, Domestic, Surplus, LogoRemoved, Dealer, Reference, Upgrade, Gift}

// Scopes: the noun a claim word is bound to. A claim that is bound to no noun
// is a claim of the item.
const (
	ScopeItem      = ""          // no noun nearby: the item itself
	ScopeUnit      = "unit"      // turbocharger, cartridge, "part"
	ScopeKit       = "kit"       // gasket kit, fitting set
	ScopeComponent = "component" // wheel, bearing, actuator, "rebuilt with genuine parts"
	ScopeCore      = "core"      // the old unit given in exchange
	ScopePhoto     = "photo"
	ScopePackaging = "packaging"
	ScopePaper     = "paper"     // manual, invoice, certificate
	ScopeVehicle   = "vehicle"   // "original engine", "genuine mileage"
	ScopeReference = "reference" // names what is replaced: "replaces the original"
	ScopeQuestion  = "question"  // "is it genuine?"
)

// Text is one text of a listing as read.
type Text struct {
	Field listing.Name
	Raw   string
}

// Maker is a brand whose name may be claimed.
type Maker struct {
	Name string
	Also []string // other spellings and house names, matched like Name
}

// Options tell what the texts do not.
type Options struct {
	// UnitType is the listing's unit type ("" when unknown). For a kit or a
	// component the claim bound to that noun is the claim of the item.
	UnitType string
}

// Phrase is one statement found in a text.
type Phrase struct {
	*Meaning
	Field   listing.Name // whose text it stands in
	Negated bool         // "not genuine"
	Decided bool         // it took part in the decision on Result.Claim
	// Start and End are byte offsets in that text; Quote is Raw[Start:End].
	Start, End int
	Quote      string
	Scope      string // noun it is bound to
	Maker      string // maker it names: the object of "fits", the subject of "genuine"
}

// Meaning is what all phrases of one section of a lexicon say.
type Meaning struct {
	Stance Stance
	Code   string
	Lang   string // of the lexicon that knows it
}

// OfItem reports whether the phrase speaks of the item: it is bound to no noun
// or to the unit, not to a kit, a photo or a question.
func (p Phrase) OfItem() bool { return p.Scope == ScopeItem || p.Scope == ScopeUnit }

// Brand states: what the brand field says.
const (
	BrandAbsent    = ""          // no brand field among the texts: not observed
	BrandMaker     = "maker"     // one of the makers; Result.Brand names it
	BrandUnbranded = "unbranded" // "unbranded", "does not apply"
	BrandOther     = "other"     // another brand
)

// Result is what the texts of one listing say.
type Result struct {
	Summary
	Phrases []Phrase // in the order of the texts, then by Start
}

// Summary is what the texts of one listing say as a whole.
type Summary struct {
	Claim      string
	BrandState string
	Brand      string // the maker named by the brand field, or ""
	// Leading is the maker first named in the title with no word of fitting
	// before it: the maker's name used as the item's brand. "" if none.
	Leading string
	// For lists the makers named after a word of fitting or of being
	// compatible ("for", "passend für", "aftermarket"), in the order of the
	// texts.
	For []string
	// Cut is set when a text or the list of phrases was longer than the bounds
	// and the rest was not read.
	Cut bool
}

// BrandAsMaker reports whether the listing presents a maker's name as the
// item's brand, in the brand field or leading the title.
func (s *Summary) BrandAsMaker() bool { return s.Brand != "" || s.Leading != "" }

// Find returns the phrases of the stance that are not negated, restricted to
// the codes if any are given.
func (r *Result) Find(s Stance, codes ...string) []Phrase {
	var found []Phrase
	for _, p := range r.Phrases {
		if p.Stance == s && !p.Negated && (len(codes) == 0 || slices.Contains(codes, p.Code)) {
			found = append(found, p)
		}
	}
	return found
}

// Texts gives the texts of a listing that speak of the item and its sale, in
// the order of their weight.
func Texts(l *listing.Listing) []Text {
	var texts []Text
	for _, n := range []listing.Name{listing.Title, listing.Brand, listing.Condition, listing.Model,
		listing.Description, listing.Returns, listing.Warranty, listing.CountryOfOrigin, listing.Contact} {
		if l.Has(n) {
			texts = append(texts, Text{n, textOf(l, n)})
		}
	}
	return texts
}

// textOf is the text of a field as read.
func textOf(l *listing.Listing, n listing.Name) string {
	f, _ := l.Get(n)
	if f.Raw != "" {
		return f.Raw
	}
	return f.Value
}
