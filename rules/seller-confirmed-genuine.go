package rules

// SellerConfirmedGenuine finds a seller whose unit was examined and confirmed.
var SellerConfirmedGenuine = &Rule{
	ID: "seller-confirmed-genuine", Family: FamilySeller, Weight: -3,
	Doc: Doc{
		Title:    "Earlier confirmed genuine unit at the seller",
		Meaning:  "The examination of a listing of this account ended as confirmed genuine. One good unit says little of the next: it weighs little.",
		Innocent: "This finding speaks for the seller.",
		Ask:      "Ask whether the unit is from the same source as the earlier one.",
		Since:    "1.0",
	},
	Needs: []Need{NeedEarlierRun, NeedSeller},
	Run: func(p *Pass) Answer {
		return p.sellerCase(func() map[string]int { return p.Past.genuine }, 0)
	},
}
