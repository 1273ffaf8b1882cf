package rules

import (
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/rules/serials"
)

// ReadingsDiffer holds what was read from the photos against the text and
// against each other.
var ReadingsDiffer = &Rule{
	ID: "readings-differ", Family: FamilyIdentity, Weight: 10,
	Doc: Doc{
		Title:    "Lettering on the photos differs",
		Meaning:  "A serial or a maker's name that was read from a photo by machine is another than the listing states, or two photos show plates with different serials: the photos are of other units than the one offered.",
		Formula:  "readings with a confidence of at least 80 % that differ from the stated serial, from the serial of the same kind in the user's table, from another photo's, or from the maker whose part is offered. Serials of one length that differ in one or two characters, or that contain each other, may be misread, and readings of less confidence may be wrong: those are a question and no finding. Half weight, as all findings that rest on machine reading (common practice, no source)",
		Innocent: "A misread character, photos of an earlier unit, or a seller who has several units and shows two.",
		Ask:      "Ask for one sharp photo of the plate of the unit that will be sent.",
		Since:    "1.0",
	},
	Needs: []Need{NeedReadings, NeedClearReading},
	Run: func(p *Pass) Answer {
		read := p.readings()
		if len(read) == 0 {
			return Lacks(NeedReadings)
		}
		unclear := false
		for i, a := range read {
			if text, evidence := p.contradicted(a); text != "" {
				if a.unsure(text) {
					unclear = true
					continue
				}
				return Found(fmt.Sprintf("A photo shows %s %s; the listing has %s.", readingWord(a.Field), a.Value, text), a.quote(), evidence)
			}
			for _, b := range read[i+1:] {
				if a.Field != b.Field || a.Field != listing.PlateSerial && a.Field != listing.BoxSerial || a.photo == b.photo || sameSerial(a.Value, b.Value) {
					continue
				}
				if a.unsure(b.Value) || b.unsure(a.Value) {
					unclear = true
					continue
				}
				return Found(fmt.Sprintf("Two photos show %s %s and %s.", readingWord(a.Field), a.Value, b.Value), a.quote(), b.quote())
			}
		}
		if unclear {
			return Lacks(NeedClearReading)
		}
		return Silent()
	},
}

// machineReading is a reading with its photo.
type machineReading struct {
	*listing.Reading
	photo *listing.Photo
}

func (m machineReading) quote() Evidence { return quoteReading(m.photo, m.Reading) }

// unsure says that the reading may be wrong where it differs from a text.
func (m machineReading) unsure(text string) bool {
	return m.Confidence < listing.SureReading || m.Field != listing.Brand && nearlyEqual(m.Value, text)
}

func (p *Pass) readings() (list []machineReading) {
	for i := range p.Listing.Photos {
		ph := &p.Listing.Photos[i]
		for k := range ph.Readings {
			list = append(list, machineReading{&ph.Readings[k], ph})
		}
	}
	return list
}

// contradicted gives what the listing's own text says otherwise than a reading,
// "" when nothing does. What is compared field by field in other rules, plate
// and box with the stated serial and the number on the plate, is left to them
// when they see the reading.
func (p *Pass) contradicted(m machineReading) (text string, evidence Evidence) {
	switch m.Field {
	case listing.Brand:
		if maker := p.Maker(); maker != nil && maker.Name != m.Value && p.PresentsAsMaker() {
			return "a part of " + maker.Name, p.Quote(p.Part().Field)
		}
	case listing.SerialNumber, listing.PlateSerial, listing.BoxSerial:
		f, ok := p.Listing.Get(m.Field)
		if _, filler := serials.Placeholder(f.Value); ok && !filler && f.From.Source != listing.SourceOCR && !sameSerial(f.Value, m.Value) {
			return f.Value, p.Quote(m.Field)
		}
	}
	return "", Evidence{}
}

func sameSerial(a, b string) bool { return serials.Canonical(a) == serials.Canonical(b) }

func readingWord(n listing.Name) string {
	switch n {
	case listing.Brand:
		return "the name"
	case listing.PlateSerial:
		return "a plate with the serial"
	case listing.BoxSerial:
		return "a box label with the serial"
	}
	return "the serial"
}
