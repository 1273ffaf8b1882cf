package settings

import (
	"regexp"
	"strings"

	"counterfoil/parse/listing"
)

// Feature is something by which the maker's own guide tells the maker's units.
// Which features hold is the maker's to say.
type Feature struct {
	ID   string `yaml:"id"`   // words joined with hyphens
	View string `yaml:"view"` // the view that shows it, such as wheel-nut
	What string `yaml:"what"` // what to look at: "compressor wheel nut"
	// Genuine and Copy say how it looks on the maker's units and on copies.
	Genuine string `yaml:"genuine"`
	Copy    string `yaml:"copy"`
	// Specimens name files with photos of the maker's own units, relative to the
	// folder of the profile. They are laid beside the photos of listings.
	Specimens []string `yaml:"specimens"`
	// Pictures are the specimens that could be read; the caller fills them in.
	Pictures []listing.Photo `yaml:"-"`
	// Weight in decibans of the feature looking as on copies; FeatureWeight when
	// not given.
	Weight float64 `yaml:"weight"`
}

// FeatureWeight is the weight of a feature without a weight, in decibans. It is
// this project's judgement.
const FeatureWeight = 8

// Bounds of the features of a profile.
const (
	maxFeatures    = 100
	maxFeatureText = 300 // runes
	maxSpecimens   = 8
)

var wordText = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// checkFeatures completes the features of a profile and reports what is wrong.
func (m *Maker) checkFeatures(fail func(quoted, format string, args ...any)) {
	if len(m.Features) > maxFeatures {
		fail("features", "maker %q has more than %d features", m.Name, maxFeatures)
	}
	seen := map[string]bool{}
	for i := range m.Features {
		f := &m.Features[i]
		switch {
		case !wordText.MatchString(f.ID):
			fail(f.ID, "the id %q of a feature is not made of small letters, digits and hyphens", f.ID)
		case seen[f.ID]:
			fail(f.ID, "feature %q stands here twice", f.ID)
		case !wordText.MatchString(f.View):
			fail(f.ID, "feature %q needs the view that shows it, such as wheel-nut", f.ID)
		case strings.TrimSpace(f.What) == "" || strings.TrimSpace(f.Genuine) == "" || strings.TrimSpace(f.Copy) == "":
			fail(f.ID, "feature %q needs what, genuine and copy", f.ID)
		case len(f.What)+len(f.Genuine)+len(f.Copy) > 3*maxFeatureText:
			fail(f.ID, "the texts of feature %q are longer than %d characters", f.ID, maxFeatureText)
		case len(f.Specimens) > maxSpecimens:
			fail(f.ID, "feature %q has more than %d specimens", f.ID, maxSpecimens)
		case !(f.Weight >= 0 && f.Weight <= MaxWeight):
			fail(f.ID, "the weight of feature %q is not between 0 and %d decibans", f.ID, MaxWeight)
		}
		seen[f.ID] = true
		if f.Weight == 0 {
			f.Weight = FeatureWeight
		}
	}
}

// Feature finds a feature by its id, nil if the profile has none of this id.
func (m *Maker) Feature(id string) *Feature {
	for i := range m.Features {
		if m.Features[i].ID == id {
			return &m.Features[i]
		}
	}
	return nil
}

// Pictures lists the specimens that were read, of all makers; m may be nil.
func (m *Makers) Pictures() (list []*listing.Photo) {
	if m == nil {
		return nil
	}
	for i := range m.List {
		features := m.List[i].Features
		for k := range features {
			for n := range features[k].Pictures {
				list = append(list, &features[k].Pictures[n])
			}
		}
	}
	return list
}
