package rules

// NotBuilt lists reasons to look that the trade knows and that no rule reports,
// with the reason why, so that nobody takes their silence for a clearance.
var NotBuilt = []struct{ Title, Reason string }{
	{"Country of manufacture by itself", "It says nothing about a part: makers run plants in many countries. Origins are only held against each other and against the user's list of the maker's plants."},
	{"Ships from another country than the origin", "This is what is expected of most offers, so it carries no weight either way."},
	{"Maker or responsible person in the EU not stated (Regulation (EU) 2023/988, Article 19; check with counsel)", "No field holds this data, and a saved page is often cut before it: its absence from the input is not observed, not missing."},
	{"Trader's identity not stated", "The same: an export without the column and a private seller look alike. Only numbers that are stated and cannot be right are reported."},
	{"One bench in the photos of several sellers", "It needs a comparison of backgrounds. The fingerprints find copies of one picture, not two pictures taken in one place; one camera is found by what it wrote into the files."},
	{"Spelling errors on the label, or a bar code that cannot be read", "Only numbers and the brand are looked for on photos, not the wording of labels."},
	{"Ratings without any tie to the goods", "Only the share and the number of ratings are observed, not what was bought."},
	{"Reviews that call the goods an imitation", "No field holds the text of reviews."},
}
