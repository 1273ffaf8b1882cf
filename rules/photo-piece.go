package rules

// PhotoPiece finds a picture that is a piece of another seller's, or holds one.
var PhotoPiece = &Rule{
	ID: "photo-piece", Family: FamilyPhoto, Weight: 8,
	Doc: Doc{
		Title:    "Piece of another seller's picture",
		Meaning:  "A picture of this listing shows a part of one that another seller uses for the same part, or holds that picture within it, as a collage or a screenshot does. The fingerprints of whole pictures do not find such copies.",
		Formula:  "normalised cross-correlation of at least 0.88 with another seller's picture of the same part, after evening the light, in any size from about half of the larger picture's side on and at any place, mirrored or not; of the two the one with fewer pixels for the same content counts as the copy, the piece when both have as many. At most 2,000 pairs of a run are compared; catalogue pictures are left out (this project's measure)",
		Innocent: "A picture used with leave, a seller's second shop, or a copy by the other seller of a file this one had first.",
		Ask:      "Ask for the original file of the picture or a fresh one.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPieces, NeedPhotos, NeedSeller},
	Run: func(p *Pass) Answer {
		switch {
		case p.Luma == nil:
			return Lacks(NeedPieces)
		case !p.Listing.PhotosKnown || len(p.Listing.Photos) == 0:
			return Lacks(NeedPhotos)
		case p.SellerGroup() == "":
			return Lacks(NeedSeller)
		}
		found := p.pieces()
		if len(found) == 0 {
			return Silent()
		}
		best := found[0]
		statement := "A picture of this listing is a piece of one of another seller"
		if best.Within {
			statement = "A picture of this listing holds a picture of another seller"
		}
		if best.Match.Mirrored {
			statement += ", mirrored"
		}
		return Found(statement+": "+best.Match.Where("it", "the other one", best.Within)+".",
			QuotePhoto(p.Photo(p.PhotoOf[best.Copy])), QuotePhoto(p.Photo(p.PhotoOf[best.Other])))
	},
}
