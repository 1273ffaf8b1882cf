package rules

import (
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules/serials"
)

// PlateAndBox speaks for a listing that shows plate and box together.
var PlateAndBox = &Rule{
	ID: "plate-and-box", Family: FamilyPhoto, Weight: -6,
	Doc: Doc{
		Title:    "Plate and box label are shown and agree",
		Meaning:  "The listing shows the serial plate and the box label. Copyists seldom match the two (common practice, no source), so this speaks for the listing. It proves nothing: labels are printed too.",
		Formula:  "full weight when the serials read from plate and box are equal, 40 % when both are shown and were not compared; none when other sellers use one of the listing's pictures or its serial",
		Innocent: "This finding speaks for the listing.",
		Ask:      "On arrival, compare the serials on plate, box label and order.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPhotos, NeedViews},
	Run: func(p *Pass) Answer {
		plate, box := p.Listing.Value(listing.PlateSerial), p.Listing.Value(listing.BoxSerial)
		if plate != "" && box != "" {
			if serials.Canonical(plate) != serials.Canonical(box) || p.serialElsewhere() || len(p.sharedPhotos()) > 0 {
				return Silent()
			}
			return Found(fmt.Sprintf("Plate and box label show the same serial, %s.", plate),
				p.Quote(listing.PlateSerial), p.Quote(listing.BoxSerial))
		}
		if !p.Listing.PhotosKnown {
			return Lacks(NeedPhotos)
		}
		var quotes []Evidence
		for _, view := range []string{listing.ViewSerialPlate, listing.ViewBoxLabel} {
			for i := range p.Listing.Photos {
				if p.Listing.Photos[i].Shows(view) {
					quotes = append(quotes, QuotePhoto(&p.Listing.Photos[i]))
					break
				}
			}
		}
		if _, known := p.views(); known == 0 {
			return Lacks(NeedViews)
		}
		if len(quotes) < 2 || p.serialElsewhere() || len(p.sharedPhotos()) > 0 {
			return Silent()
		}
		return Found("The photos show the serial plate and the box label; whether their serials agree was not compared.", quotes...).At(0.4)
	},
}

// serialElsewhere reports whether another seller group shows the listing's
// serial.
func (p *Pass) serialElsewhere() bool {
	serial, _ := p.serial()
	if serial == "" {
		return false
	}
	for _, s := range p.Serials.Of(serial) {
		if s.Seller != p.SellerGroup() {
			return true
		}
	}
	return false
}
