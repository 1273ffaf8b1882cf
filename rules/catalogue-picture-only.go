package rules

import (
	"slices"

	"counterfoil/parse/listing"
	"counterfoil/rules/wording"
)

// CataloguePictureOnly finds a used unit, or one 'in hand', that is shown by
// catalogue pictures alone.
var CataloguePictureOnly = &Rule{
	ID: "catalogue-picture-only", Family: FamilyPhoto, Weight: 6,
	Doc: Doc{
		Title:    "Unit in hand, catalogue pictures only",
		Meaning:  "The listing offers a used unit, or says that the pictures show the very unit, and all its pictures are catalogue pictures. Whoever has a unit in his hands can photograph it.",
		Formula:  "every photo is marked catalogue-picture, or stands at so many sellers of the part that it is a catalogue picture; condition used or core, or words for 'in hand' and 'photos of the actual item' (common practice, no source)",
		Innocent: "A breaker with many units, who uses one picture for all.",
		Ask:      "Ask for a fresh photo of the unit beside today's date.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPhotos, NeedFingerprints, NeedCondition},
	Run: func(p *Pass) Answer {
		if !p.Listing.PhotosKnown || len(p.Listing.Photos) == 0 {
			return Lacks(NeedPhotos)
		}
		marked := p.marked(MarkCatalogue)
		allMarked := !slices.ContainsFunc(p.Listing.Photos, func(ph listing.Photo) bool { return !ph.Shows(MarkCatalogue) })
		if lack, ok := p.photoGap(); !ok && !allMarked {
			return Lacks(lack)
		}
		if !p.hasCondition() {
			return Lacks(NeedCondition)
		}
		what := p.inHand()
		if what == nil || !allMarked && !p.allCatalogue() {
			return Silent()
		}
		if !allMarked {
			marked = []Evidence{QuotePhoto(&p.Listing.Photos[0])}
		}
		return Found("The unit is used or said to be in hand, and all its pictures are catalogue pictures.", append(what, marked...)...)
	},
}

// inHand is the evidence that the seller has the unit before him.
func (p *Pass) inHand() []Evidence {
	switch p.Listing.Value(listing.Condition) {
	case listing.Used, listing.Core:
		return []Evidence{p.Quote(listing.Condition)}
	}
	for _, n := range []listing.Name{listing.Title, listing.Description} {
		text := p.text(n)
		if start, end, ok := inHandWords.FindFolded(p.folded(n)); ok {
			return []Evidence{Quote(p.Listing, n, text[start:end])}
		}
	}
	return nil
}

// allCatalogue reports whether every photo is a catalogue picture of the batch.
func (p *Pass) allCatalogue() bool {
	for k := range p.Listing.Photos {
		g := p.Photos.Of(p.FirstPhoto[p.N] + k)
		if g == nil || !g.Catalogue {
			return false
		}
	}
	return true
}

// inHandWords say that the pictures show the very unit. Common practice, no
// source.
var inHandWords = wording.New("in hand", "actual photos", "actual pictures", "photos of the actual", "pictures of the actual",
	"photo of the actual", "exact item in the photo*", "exact unit in the photo*", "the item in the pictures", "you get the one in the photo*",
	"originalfotos", "originalbilder", "fotos zeigen den", "photos réelles", "photos du produit réel", "fotos reales", "foto reali",
	"zdjęcia rzeczywiste", "rzeczywiste zdjęcia", "реальные фото", "фото реальные", "实物拍摄", "实拍")
