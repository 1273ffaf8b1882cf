package rules

import (
	"slices"

	"counterfoil/parse/listing"
)

// A mark is a word by which a person who has looked at a photo tells the rules
// what it shows. It stands where views are tagged: beside the photo's file name
// ("a.jpg=serial-plate+serial-masked"), in the column photo_views for the
// listing as a whole, or in a sheet of labels.
const (
	MarkSerialMasked     = "serial-masked"
	MarkGround           = "mark-ground"
	MarkMissing          = "mark-missing"
	MarkScreenshot       = "screenshot"
	MarkWatermark        = "foreign-watermark"
	MarkCatalogue        = "catalogue-picture"
	MarkPlatePrint       = "plate-print-odd"
	MarkPlateRivets      = "plate-rivets-odd"
	MarkLoosePlates      = "loose-plates"
	MarkBlankPlates      = "blank-plates"
	MarkNeutralBox       = "neutral-box"
	MarkBoxBrand         = "box-brand-differs"
	MarkLabelNoSerial    = "label-without-serial"
	MarkLabelOtherSerial = "label-other-serial"
	MarkNone             = "no-mark"
)

// Marks lists the marks and what each says, in the order documents print them.
var Marks = []struct{ Word, Meaning string }{
	{MarkSerialMasked, "the serial on the plate is covered or made unreadable"},
	{MarkGround, "the place of the maker's mark in a casting is ground, welded or polished"},
	{MarkMissing, "the casting is blank where the maker's guide shows a mark"},
	{MarkScreenshot, "the picture is a screenshot of another page"},
	{MarkWatermark, "the picture carries the watermark of another seller"},
	{MarkCatalogue, "the picture is a drawing or a catalogue picture, not a photo of the unit"},
	{MarkPlatePrint, "the print of the serial plate differs from the maker's guide"},
	{MarkPlateRivets, "the serial plate is fixed otherwise than in the maker's guide"},
	{MarkLoosePlates, "serial plates lie loose beside the unit"},
	{MarkBlankPlates, "the serial plate carries no print"},
	{MarkNeutralBox, "the box carries no brand"},
	{MarkBoxBrand, "the box carries another brand than the plate"},
	{MarkLabelNoSerial, "the box label has no serial"},
	{MarkLabelOtherSerial, "the box label has another serial than the plate"},
	{MarkNone, "somebody looked, and none of the other marks applies"},
}

// MarksOfFile are the marks that hold for one file and not for other copies of
// the picture: what they name was laid over it.
var MarksOfFile = []string{MarkSerialMasked, MarkScreenshot, MarkWatermark}

// hasTags reports whether a person tagged a photo of the listing or the listing
// as a whole: without tags nobody is known to have looked for marks.
func (p *Pass) hasTags() bool {
	if p.Listing.Has(listing.PhotoViews) {
		return true
	}
	for i := range p.Listing.Photos {
		for _, v := range p.Listing.Photos[i].Views {
			if v.BySight() {
				return true
			}
		}
	}
	return false
}

// marked is the evidence of marks: the tag of each photo that has one of the
// words, at most four, and the listing's own tags.
func (p *Pass) marked(words ...string) []Evidence {
	var list []Evidence
	for i := range p.Listing.Photos {
		ph := &p.Listing.Photos[i]
		for _, v := range ph.Views {
			if len(list) < 4 && slices.Contains(words, v.Name) {
				e := QuotePhoto(ph)
				e.Quote = v.Text
				list = append(list, e)
			}
		}
	}
	for _, v := range p.Listing.List(listing.PhotoViews) {
		if slices.Contains(words, v) {
			return append(list, Quote(p.Listing, listing.PhotoViews, v))
		}
	}
	return list
}

// markAnswer is the answer of a rule that looks for marks alone.
func (p *Pass) markAnswer(statement string, words ...string) Answer {
	if found := p.marked(words...); len(found) > 0 {
		return Found(statement, found...)
	}
	if !p.hasTags() {
		return Lacks(NeedMarks)
	}
	return Silent()
}

// workedOn reports whether the condition says that the unit was in use or was
// worked on.
func (p *Pass) workedOn() bool {
	switch p.Listing.Value(listing.Condition) {
	case listing.Remanufactured, listing.Rebuilt, listing.Used, listing.Core:
		return true
	}
	return false
}
