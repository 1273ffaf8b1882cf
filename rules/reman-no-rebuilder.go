package rules

import (
	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
	"counterfoil/rules/wording"
)

// RemanNoRebuilder finds a rebuilt unit that names its maker and not its
// rebuilder.
var RemanNoRebuilder = &Rule{
	ID: "reman-no-rebuilder", Family: FamilyClaim, Weight: 4,
	Doc: Doc{
		Title:    "Rebuilt and 'genuine', rebuilder not named",
		Meaning:  "The unit is offered as remanufactured or rebuilt and claimed to be the maker's own, and the text does not say who did the work. For the United States, 16 CFR 20.2 wants the rebuilder named where the maker's name could be taken for his, and 16 CFR 20.3 keeps 'factory rebuilt' for work done in a factory; check with counsel.",
		Formula:  "condition remanufactured or rebuilt, words that claim the unit to be genuine, and a description without words such as 'remanufactured by', 'our workshop' or 'in-house' (common practice, no source). The maker's name in the brand field is not enough: most listings of rebuilt units have it and are silent on the rebuilder.",
		Innocent: "The seller is the rebuilder and takes it for granted, or the unit comes from the maker's own exchange programme.",
		Ask:      "Ask who remanufactured the unit and for the test sheet.",
		Since:    "1.0",
	},
	Needs: []Need{NeedCondition, NeedDescription},
	Run: func(p *Pass) Answer {
		condition := p.Listing.Value(listing.Condition)
		switch {
		case condition == "":
			return Lacks(NeedCondition)
		case condition != listing.Remanufactured && condition != listing.Rebuilt, p.isSmallPart(),
			p.Says().Claim != claims.ClaimGenuine && p.Says().Claim != claims.ClaimContradictory:
			return Silent()
		case !p.Listing.Has(listing.Description):
			return Lacks(NeedDescription)
		}
		for _, n := range []listing.Name{listing.Title, listing.Description, listing.Warranty} {
			if _, _, ok := rebuilderWords.FindFolded(p.folded(n)); ok {
				return Silent()
			}
		}
		return Found("The unit is rebuilt and claimed to be genuine; who rebuilt it is not said.",
			append([]Evidence{p.Quote(listing.Condition)}, p.QuotePhrases(p.decided(claims.Genuine), 2)...)...)
	},
}

// rebuilderWords are words that say who did the work. Common practice, no
// source.
var rebuilderWords = wording.New("remanufactured by", "rebuilt by", "reconditioned by", "refurbished by", "overhauled by",
	"workshop*", "in-house", "in house", "we rebuild", "we remanufacture", "we recondition", "rebuilt in our", "our technicians",
	"our engineers", "by us", "our own", "factory reman*", "factory rebuilt", "manufacturer reman*", "own bench", "our bench",
	"instandgesetzt von", "überholt von", "werkstatt*", "eigener fertigung", "von uns", "bei uns", "werksüberholt*", "unser betrieb",
	"reconditionné par", "rénové par", "atelier*", "par nos soins", "reconstruido por", "taller*", "regenerowany przez",
	"regenerowana przez", "warsztat*", "rigenerato da", "officina*", "мастерск*", "нами", "我们", "本厂")
