package rules

// PictureOfOtherPage finds a picture that was taken from another page.
var PictureOfOtherPage = &Rule{
	ID: "picture-of-other-page", Family: FamilyPhoto, Weight: 6,
	Doc: Doc{
		Title:    "Screenshot or another seller's watermark",
		Meaning:  "You marked a picture as a screenshot or as carrying the watermark of another seller. The seller shows a unit that somebody else photographed.",
		Formula:  "the mark screenshot or foreign-watermark on a photo or on the listing (common practice, no source)",
		Innocent: "The seller's own second shop, or a supplier's picture used with leave.",
		Ask:      "Ask for a fresh photo of the unit beside today's date.",
		Since:    "1.0",
	},
	Needs: []Need{NeedMarks},
	Run: func(p *Pass) Answer {
		return p.markAnswer("A picture is marked as taken from another page.", MarkScreenshot, MarkWatermark)
	},
}
