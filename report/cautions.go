package report

// Caution is one thing that a reader must know before acting on a report.
type Caution struct {
	Title string `json:"title"`
	Text  string `json:"text"`
}

// Cautions are printed with every report.
var Cautions = []Caution{
	{"Leads, not findings", "A listing stands high because indicators are present that need checking. Nothing here says that a part is counterfeit, genuine or safe. " +
		"Where nothing was found, nothing was found in what was supplied. A person decides."},
	{"Not observed", "What the input does not show is 'not observed', never 'missing'. A listing with low coverage is not cleared; ask for what is lacking."},
	{"Words to others", "Do not accuse. Say 'indicators present, needs checking' and quote the listing. An allegation that cannot be proved may be defamation, and an unfounded threat of proceedings may be actionable."},
	{"Honest offers", "A grey import is not a counterfeit. A part made to fit, and sold as that, is honest aftermarket. A country of manufacture is no indicator. The seller of a stolen picture or serial is also on the list."},
	{"Prices", "Comparing public prices is normally fine; pressing the maker to discipline sellers for discounts is not. A price alone is never a ground for a notice."},
	{"Personal data", "Names and telephone numbers of sole traders are personal data. Keep only what the purpose needs, say how long, and delete it then."},
	{"Safety", "Compressor wheels can exceed 300,000 rpm, next to hot exhaust gas and oil under pressure. Fitting belongs to a qualified technician and to local rules. Do not fit, resell or send back a test purchase."},
	{"Legal steps", "Notices, applications to customs, test purchases for evidence and proceedings belong to counsel. The weights are the project's judgement unless calibrated; they are not probabilities."},
}
