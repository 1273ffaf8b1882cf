package rules

import (
	"fmt"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules/serials"
)

// SerialReuse finds one serial at several sellers.
var SerialReuse = &Rule{
	ID: "serial-reuse", Family: FamilyIdentity, Weight: 16, Decisive: true,
	Doc: Doc{
		Title:    "One serial at several sellers",
		Meaning:  "A serial names one unit, and one unit cannot lie in two stocks. Copies are given the plate of one real unit many times over. With different pictures at the sellers the units differ and the serial is cloned; with the same pictures one seller may have taken the other's.",
		Formula:  "equal serials, letters and digits never exchanged, at two or more seller groups; full weight when both listings show photos and none of them is the same, half when only this one is known to show the plate, 3/4 when photos cannot be compared, half when pictures are shared, a quarter when the largest copy of the shared picture is this listing's; else half of it when the serial was captured here a month before all others; of that, 60 % when other links join all the accounts into one group",
		Innocent: "The same stock offered under two names, a unit resold, or a stolen picture: the seller whose plate was copied is raised by this rule as well.",
		Ask:      "Ask for a fresh photo of the plate beside today's date, and check the serial with the maker.",
		Since:    "1.0",
	},
	Needs: []Need{NeedSerial, NeedSeller},
	Run: func(p *Pass) Answer {
		serial, fields := p.serial()
		if serial == "" {
			return Lacks(NeedSerial)
		}
		own := p.SellerGroup()
		if own == "" {
			return Lacks(NeedSeller)
		}
		groups := map[string]bool{}
		var others []serials.Sighting
		for _, s := range p.Serials.Of(serial) {
			if s.Seller != "" && s.Seller != own && !groups[s.Seller] {
				groups[s.Seller] = true
				others = append(others, s)
			}
		}
		if len(others) == 0 {
			return Silent()
		}
		evidence := []Evidence{p.Quote(fields[0])}
		strength, remark, across := 0.0, "", false
		shown := []int{p.N}
		for _, s := range p.Serials.Of(serial) {
			shown = append(shown, s.Listing)
		}
		for _, s := range others {
			if len(evidence) < 6 {
				evidence = append(evidence, Quote(p.Listings[s.Listing], s.Field, ""))
			}
			k, words := p.photosBeside(s.Listing)
			if k > strength {
				strength, remark = k, words
			}
			across = across || p.Operators[s.Listing] != p.Operators[p.N]
		}
		if k := p.earliest(shown); strength > 0.25 && k != "" && k == p.SellerKeys[p.N] {
			strength, remark = strength/2, remark+"; it was captured here a month before: was it copied from this seller?"
		}
		if !across {
			strength, remark = strength*withinGroup, remark+"; other links join the accounts, and one operator may list a unit under several names"
		}
		return Found(fmt.Sprintf("The serial %s also stands on listings of %s; %s",
			p.Listing.Value(fields[0]), count(len(others), "other seller"), sentence(remark)), evidence...).At(strength)
	},
}

// sentence ends a remark that is not a question already.
func sentence(s string) string {
	if strings.HasSuffix(s, "?") {
		return s
	}
	return s + "."
}

// withinGroup is the share of the weight of a serial that only accounts of one
// group show: there, one unit may be offered several times over.
const withinGroup = 0.6

// serial gives the listing's usable serial in canonical form and the fields
// that hold it, "" when it has none.
func (p *Pass) serial() (canonical string, fields []listing.Name) {
	if s := &p.number; !s.known {
		s.known = true
		s.canonical, s.fields = p.readSerial()
	}
	return p.number.canonical, slices.Clip(p.number.fields)
}

func (p *Pass) readSerial() (canonical string, fields []listing.Name) {
	for _, n := range serialFields {
		s := p.Listing.Value(n)
		if s == "" {
			continue
		}
		if _, filler := serials.Placeholder(s); filler {
			continue
		}
		c := serials.Canonical(s)
		if canonical == "" {
			canonical = c
		}
		if c == canonical {
			fields = append(fields, n)
		}
	}
	return canonical, fields
}

// photosBeside weighs a shared serial by the pictures of both listings.
func (p *Pass) photosBeside(other int) (strength float64, words string) {
	if !p.hasPrints(p.N) || !p.hasPrints(other) {
		return 0.75, "their photos cannot be compared"
	}
	if s, ok := p.sharesPhoto(other); ok {
		if p.isOriginal(s) {
			return 0.25, "they share a picture with this listing, whose copy is the largest"
		}
		return 0.5, "they share a picture with this listing"
	}
	if p.showsPlate(p.N) && !p.showsPlate(other) {
		return 0.5, "the pictures differ, and of the two only this listing is known to show the plate"
	}
	return 1, "the pictures differ"
}

func (p *Pass) showsPlate(n int) bool {
	return slices.Contains(p.Listings[n].ShownViews(), listing.ViewSerialPlate)
}

func (p *Pass) hasPrints(n int) bool {
	for i := range p.Listings[n].Photos {
		if p.Listings[n].Photos[i].Printed {
			return true
		}
	}
	return false
}

// sharesPhoto finds a photo that the listing shares with another one.
func (p *Pass) sharesPhoto(other int) (sharedPhoto, bool) {
	for _, s := range p.sharedPhotos() {
		for _, m := range s.group.Members {
			if p.PhotoOf[m.Photo].Listing == other {
				return s, true
			}
		}
	}
	return sharedPhoto{}, false
}
