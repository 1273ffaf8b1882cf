package rules

import "fmt"

// PhotoConfirmedCopy finds a picture of an earlier case that ended as a
// confirmed copy.
var PhotoConfirmedCopy = &Rule{
	ID: "photo-confirmed-copy", Family: FamilyPhoto, Weight: 10,
	Doc: Doc{
		Title:    "Picture of an earlier confirmed copy",
		Meaning:  "A picture of this listing stood on another listing whose examination ended as a confirmed copy. Pictures go along with the goods from account to account.",
		Formula:  "the same bytes, or fingerprints within the bits of the rule 'photo-reuse', mirrored copies included; a casebook keeps no more of a picture, so crops of an earlier picture are not found, and what 'photo-reuse' confirms by grey steps is not confirmed here; full weight when a copy of the picture is known to show a plate or a box label, 0.6 otherwise, a fifth for a picture of the type that four or more sellers used",
		Innocent: "The seller of the copy may have taken the picture from this seller, or both from a catalogue.",
		Ask:      "Ask for a fresh photo of the unit beside today's date.",
		Since:    "1.0",
	},
	Needs: []Need{NeedEarlierRun, NeedPhotos, NeedFingerprints},
	Run: func(p *Pass) Answer {
		if !p.hasPast() {
			return Lacks(NeedEarlierRun)
		}
		if lack, ok := p.photoGap(); !ok {
			return Lacks(lack)
		}
		best := Silent()
		for _, s := range p.Past.shared[p.N] {
			strength := 0.6
			switch {
			case s.oneUnit:
				strength = 1
			case s.common:
				strength = 0.2
			}
			for _, n := range s.earlier {
				e := &p.Past.Earlier[n]
				c := p.caseOfListing(e.Key, ConfirmedCopy)
				if c == nil || best.finding != nil && strength <= best.finding.Strength {
					continue
				}
				best = Found(fmt.Sprintf("A picture of this listing stood at %s on a listing whose case ended on %s as '%s'.", sellerText(e), onDay(c.Date), c.Word),
					QuotePhoto(s.photo), quoteEarlier(e, e.Title), quoteCase(c)).At(strength)
			}
		}
		return best
	},
}

// caseOfListing finds the case of a listing with the given word, nil if there is
// none.
func (p *Pass) caseOfListing(key, word string) *Case {
	for i := range p.Past.Cases {
		if c := &p.Past.Cases[i]; c.Listing == key && c.Word == word {
			return c
		}
	}
	return nil
}
