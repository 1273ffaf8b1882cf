package rules

import (
	"fmt"
	"strings"
)

// FeatureAsGenuine speaks for a listing whose features look as the maker's.
var FeatureAsGenuine = &Rule{
	ID: "feature-as-genuine", Family: FamilyPhoto, Weight: -4,
	Doc: Doc{
		Title:    "Features look as on the maker's units",
		Meaning:  "You labelled features on the photos that look as the maker's profile describes the maker's own units, and none that look otherwise. It speaks a little for the listing and proves nothing: a picture can be of another unit.",
		Formula:  "weight times the share of the profile's features that are labelled as-genuine; none when a feature is labelled as-copy or another seller shows one of the listing's pictures (common practice, no source)",
		Innocent: "This finding speaks for the listing.",
		Ask:      "On arrival, compare the unit with the photos and with the maker's guide.",
		Since:    "1.0",
	},
	Needs: []Need{NeedMakers, NeedFeatures, NeedLooks},
	Run: func(p *Pass) Answer {
		features, lack := p.features()
		if lack != noNeed {
			return Lacks(lack)
		}
		var names []string
		var evidence []Evidence
		for _, f := range features {
			if len(f.copied) > 0 {
				return Silent()
			}
			if len(f.genuine) > 0 {
				names = append(names, f.What)
				if len(names) <= featureQuotes {
					evidence = append(evidence, p.quoteFeature(f.genuine[0], f.Feature, "as on the maker's units ("+f.Genuine+")")...)
				}
			}
		}
		if len(names) == 0 || len(p.sharedPhotos()) > 0 {
			return Silent()
		}
		return Found(fmt.Sprintf("%s labelled as the profile of %s describes the maker's units: %s.", count(len(names), "feature"), p.Maker().Name, strings.Join(names, ", ")),
			evidence...).At(float64(len(names)) / float64(len(features)))
	},
}
