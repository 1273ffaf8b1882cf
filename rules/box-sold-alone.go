package rules

import (
	"counterfoil/parse/listing"
	"counterfoil/rules/claims"
	"counterfoil/rules/wording"
)

// BoxSoldAlone finds boxes, labels or plates sold without a unit.
var BoxSoldAlone = &Rule{
	ID: "box-sold-alone", Family: FamilyPackaging, Weight: 12,
	Doc: Doc{
		Title:    "Box, labels or plates sold without a unit",
		Meaning:  "The title offers an empty box, labels or blank plates of a branded part. They serve to give another unit the look of the maker's.",
		Formula:  "words for an empty box, packaging, labels or nameplates only in a title that names a maker, or on a listing with a maker in the brand field (common practice, no source)",
		Innocent: "A collector's item, or a rebuilder's own plates.",
		Ask:      "Ask what the packaging is sold for.",
		Since:    "1.0",
	},
	Needs: []Need{NeedTitle},
	Run: func(p *Pass) Answer {
		if !p.Listing.Has(listing.Title) {
			return Lacks(NeedTitle)
		}
		title := p.text(listing.Title)
		start, end, ok := boxAlone.FindFolded(p.folded(listing.Title))
		if !ok {
			return Silent()
		}
		_, _, opened := boxOpened.Find(title[end:])
		_, _, other := otherBoxes.Find(title[max(0, start-10):start])
		if opened || other || p.Says().BrandState != claims.BrandMaker && len(p.Compared.Names.FindFolded(p.folded(listing.Title))) == 0 {
			return Silent()
		}
		return Found("The title offers packaging, labels or plates without a unit.", Quote(p.Listing, listing.Title, title[start:end]), p.Quote(listing.Title))
	},
}

// boxAlone are words for packaging, labels and plates by themselves. Common
// practice, no source.
var boxAlone = wording.New("empty box", "empty boxes", "box only", "boxes only", "packaging only", "empty packaging",
	"labels only", "blank nameplate", "blank nameplates", "nameplate only", "nameplates only",
	"leerkarton", "leere verpackung", "nur verpackung", "nur karton", "typenschild blanko", "boîte vide", "emballage seul", "caja vacía", "solo caja",
	"puste pudełko", "samo opakowanie", "puste opakowanie", "scatola vuota", "solo scatola", "пустая коробка", "только коробка", "空盒", "包装盒单卖")

// boxOpened are words after which 'box only' speaks of a unit in its box.
var boxOpened = wording.New("opened", "open", "damaged", "geöffnet", "beschädigt", "ouverte", "abierta", "aperta", "otwarte", "вскрыта", "повреждена")

// otherBoxes are words before 'box' that name another thing.
var otherBoxes = wording.New("fuse", "air", "tool", "glove", "steering", "control", "relay", "junction", "gear", "cash", "without", "no", "with")
