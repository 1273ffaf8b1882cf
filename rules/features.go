package rules

import (
	"cmp"
	"fmt"
	"slices"

	"counterfoil/parse/listing"
	"counterfoil/rules/settings"
)

// seenFeature is a feature of the profile as the photos of a listing show it.
type seenFeature struct {
	*settings.Feature
	copied, genuine []*listing.Photo // labelled so
}

// features gathers the labels on the features of the listing's maker, in the
// order of the profile. lack says why there are none.
func (p *Pass) features() (list []seenFeature, lack Need) {
	m := p.Maker()
	switch {
	case m == nil:
		return nil, NeedMakers
	case len(m.Features) == 0:
		return nil, NeedFeatures
	}
	labelled := false
	for i := range m.Features {
		f := seenFeature{Feature: &m.Features[i]}
		for k := range p.Listing.Photos {
			ph := &p.Listing.Photos[k]
			for _, look := range ph.Looks {
				if look.Maker != m.Name || look.Feature != f.ID {
					continue
				}
				labelled = true
				switch look.Seen {
				case listing.SeenCopy:
					f.copied = append(f.copied, ph)
				case listing.SeenGenuine:
					f.genuine = append(f.genuine, ph)
				}
			}
		}
		list = append(list, f)
	}
	if !labelled {
		return nil, NeedLooks
	}
	return list, noNeed
}

// quoteLook is the evidence of a label on a feature.
func quoteLook(ph *listing.Photo, f *settings.Feature, look string) Evidence {
	e := QuotePhoto(ph)
	e.Quote = listing.Shorten(fmt.Sprintf("label on %s: %s", f.What, look), QuoteLimit)
	return e
}

// featureQuotes bounds the features whose evidence a finding shows.
const featureQuotes = 6

// quoteFeature is the label's photo and, where the profile has one, the first
// specimen right after it, so that reports lay them beside each other.
func (p *Pass) quoteFeature(ph *listing.Photo, f *settings.Feature, look string) []Evidence {
	list := []Evidence{quoteLook(ph, f, look)}
	if len(f.Pictures) > 0 {
		list = append(list, QuoteSpecimen(p.Maker(), f, &f.Pictures[0]))
	}
	return list
}

// QuoteSpecimen is the evidence that a specimen of a profile gives.
func QuoteSpecimen(m *settings.Maker, f *settings.Feature, specimen *listing.Photo) Evidence {
	return Evidence{File: fileName(specimen.File, specimen.Entry), SHA256: specimen.SHA256,
		Place: fmt.Sprintf("profile of %s, feature %s", m.Name, f.ID),
		Quote: listing.Shorten(fmt.Sprintf("specimen of the maker's units: %s, %s", f.What, f.Genuine), QuoteLimit)}
}

// heaviest sorts features by weight, largest first.
func heaviest(list []seenFeature) {
	slices.SortStableFunc(list, func(a, b seenFeature) int { return cmp.Compare(b.Weight, a.Weight) })
}
