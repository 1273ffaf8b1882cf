package rules

import "counterfoil/parse/listing"

// Family groups findings that share a cause. Within a family the second
// finding counts half, the third a quarter, and so on; see [weigh].
type Family string

// The families.
const (
	FamilyPrice     Family = "price"
	FamilyIdentity  Family = "identity"
	FamilyClaim     Family = "claim"
	FamilyPhoto     Family = "photo"
	FamilyPackaging Family = "packaging"
	FamilySeller    Family = "seller"
	FamilyCross     Family = "cross-listing"
	FamilyTime      Family = "time"
	FamilyTerms     Family = "terms"
)

// Families lists the families in the order reports print them.
var Families = []Family{FamilyIdentity, FamilyPhoto, FamilyPackaging, FamilyClaim,
	FamilyPrice, FamilyCross, FamilySeller, FamilyTime, FamilyTerms}

// Rule is one documented reason to look at a listing, or one that speaks for
// it.
type Rule struct {
	// ID is words joined with hyphens; the rule's file has the same name.
	ID     string
	Family Family
	// Weight in decibans, 10 log10(likelihood ratio) for 'copy or deceptive
	// offer': positive points to suspicion, negative away from it. The defaults
	// are this project's judgement.
	Weight float64
	// Decisive marks a rule whose finding at full strength may carry the words
	// 'strong' and above without a second family.
	Decisive bool
	Doc      Doc
	// Needs lists everything whose absence makes the rule 'not assessed'.
	Needs []Need
	// Run reads one listing. It must not change anything it is given.
	Run func(*Pass) Answer
}

// Doc is what a reader must know to judge a finding. All parts but Formula
// and Measured are required.
type Doc struct {
	Title    string // a few words
	Meaning  string // what the rule looks at and why it matters
	Formula  string // thresholds and sources; "" when the meaning says it all
	Innocent string // how an honest listing comes to it
	Ask      string // what to ask the seller, without accusation
	Since    string // version that brought it
	Measured string // how well it did in a test, lines kept; "" when not measured
}

// Answer is what a rule says of one listing: a finding, nothing, or that it
// could not be assessed.
type Answer struct {
	finding *Finding
	lacks   Need
}

// Silent says that the rule was assessed and found nothing.
func Silent() Answer { return Answer{} }

// Lacks says that the rule could not be assessed, and what it lacked.
func Lacks(n Need) Answer { return Answer{lacks: n} }

// Found says that the rule applies, in one plain sentence, with the quotes
// that show it.
func Found(statement string, evidence ...Evidence) Answer {
	return Answer{finding: &Finding{Statement: statement, Strength: 1, Evidence: evidence}}
}

// At scales the finding's weight: 1 is the rule's full weight. A finding at
// less than full strength is never decisive.
func (a Answer) At(strength float64) Answer {
	if a.finding != nil {
		a.finding.Strength = strength
	}
	return a
}

// Finding is one rule's statement about one listing.
type Finding struct {
	Rule      *Rule
	Statement string
	Strength  float64 // share of the rule's weight
	WeightDB  float64 // decibans, before the family's factor
	Evidence  []Evidence
}

// Decisive reports whether the finding alone may carry the words 'strong' and
// above.
func (f *Finding) Decisive() bool { return f.Rule.Decisive && f.Strength >= 1 }

// Evidence is an exact quote and its place.
type Evidence struct {
	File   string // as named on the command line, with the entry in an archive
	SHA256 string // of that file
	Place  string
	Quote  string
}

// QuoteLimit is the length in runes to which a quote is shortened.
const QuoteLimit = 300

// Quote is the evidence that a field of a listing gives. text is the exact
// part of the field's raw text that matters; "" quotes all of it.
func Quote(l *listing.Listing, n listing.Name, text string) Evidence {
	f, _ := l.Get(n)
	if text == "" {
		text = f.Raw
	}
	place := f.From.String()
	if f.From.Row == 0 && f.From.Path == "" {
		place = n.String()
	}
	return Evidence{File: fileName(l.File, l.Entry), SHA256: l.SHA256, Place: place,
		Quote: listing.Shorten(text, QuoteLimit)}
}

// QuotePhoto is the evidence that a photo gives.
func QuotePhoto(p *listing.Photo) Evidence {
	return Evidence{File: fileName(p.File, p.Entry), SHA256: p.SHA256, Place: p.From.String(),
		Quote: listing.Shorten(p.Caption, QuoteLimit)}
}

func fileName(file, entry string) string {
	if entry != "" {
		return file + " (" + entry + ")"
	}
	return file
}
