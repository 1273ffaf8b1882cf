package rules

import (
	"fmt"
	"math"
	"strings"
)

// FeatureAsCopy finds features that look as on copies.
var FeatureAsCopy = &Rule{
	ID: "feature-as-copy", Family: FamilyPhoto, Weight: featureBound,
	Doc: Doc{
		Title:    "Features look as on copies",
		Meaning:  "You labelled features on the photos that look as the maker's profile describes copies: another wheel nut, straight struts, a bracket fitted otherwise. Which features tell a unit is the maker's to say.",
		Formula:  "weight of the heaviest feature labelled as-copy, plus half the next, a quarter of the one after, and so on, at most 16 dB; a feature without a weight counts 8 dB. A feature labelled both ways counts half (common practice, no source)",
		Innocent: "A change in the maker's production, a part replaced in a repair, or a photo that misleads about a shape.",
		Ask:      "Ask for sharp photos of the features named, from straight ahead.",
		Since:    "1.0",
	},
	Needs: []Need{NeedMakers, NeedFeatures, NeedLooks},
	Run: func(p *Pass) Answer {
		features, lack := p.features()
		if lack != noNeed {
			return Lacks(lack)
		}
		for i := range features {
			if f := &features[i]; len(f.genuine) > 0 && len(f.copied) > 0 {
				both := *f.Feature
				both.Weight /= 2
				f.Feature = &both
			}
		}
		heaviest(features)
		var names []string
		var evidence []Evidence
		sum := 0.0
		for _, f := range features {
			if len(f.copied) == 0 {
				continue
			}
			sum += math.Ldexp(f.Weight, -len(names))
			names = append(names, f.What)
			if len(names) <= featureQuotes {
				evidence = append(evidence, p.quoteFeature(f.copied[0], f.Feature, "as on copies ("+f.Copy+")")...)
			}
		}
		if len(names) == 0 || !p.PresentsAsMaker() {
			return Silent()
		}
		return Found(fmt.Sprintf("%s labelled as the profile of %s describes copies: %s.", count(len(names), "feature"), p.Maker().Name, strings.Join(names, ", ")),
			evidence...).At(min(1, sum/featureBound))
	},
}

// featureBound bounds what all features of a listing weigh together, in
// decibans.
const featureBound = 16
