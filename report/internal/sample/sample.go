// Package sample is a small batch, built by hand, on which the reports are
// tested. All names in it are invented.
package sample

import (
	"cmp"
	"fmt"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
	"counterfoil/rules/claims"
	"counterfoil/rules/market"
	"counterfoil/rules/parts"
	"counterfoil/rules/photogroup"
	"counterfoil/rules/serials"
)

// AsOf is the run time of the sample.
var AsOf = time.Date(2026, 3, 1, 9, 30, 0, 0, time.UTC)

// Serial and Price are the rules of the sample.
var (
	Serial = &rules.Rule{ID: "serial-reuse", Family: rules.FamilyIdentity, Weight: 14, Decisive: true,
		Doc: rules.Doc{Title: "One serial at several sellers", Meaning: "One unit cannot be in two stocks.",
			Formula: "equal canonical serials", Innocent: "A stolen picture; its owner is listed too.",
			Ask: "Ask for a photo of the plate with today's date beside it.", Since: "1.0"},
		Needs: []rules.Need{rules.NeedSerial}}
	Price = &rules.Rule{ID: "price-low-outlier", Family: rules.FamilyPrice, Weight: 8,
		Doc: rules.Doc{Title: "Price far below the other sellers", Meaning: "The landed price is a low outlier.",
			Formula: "modified z <= -3.5 (Iglewicz and Hoaglin 1993)", Innocent: "A clearance.",
			Ask: "Ask what the price includes.", Since: "1.0"},
		Needs: []rules.Need{rules.NeedPrice, rules.NeedMarket}}
	Views = &rules.Rule{ID: "view-plate", Family: rules.FamilyPhoto, Weight: 3,
		Doc: rules.Doc{Title: "No view of the plate", Meaning: "No photo shows the plate.",
			Innocent: "A used unit taken off.", Ask: "Ask for a photo of the plate.", Since: "1.0"},
		Needs: []rules.Need{rules.NeedPhotos}}
)

// Offer is one listing of a batch.
type Offer struct {
	Title, Seller, Serial, Price, Outcome string
	Currency                              string // "" is EUR
	DB                                    float64
	Findings                              []rules.Finding
	Gaps                                  []rules.Gap
}

// Offers are the sample's listings by rank.
func Offers() []Offer {
	quote := func(n int, column, text string) rules.Evidence {
		return rules.Evidence{File: "in/offers.csv", SHA256: hash, Place: listing.Cell(n, column).String(), Quote: text}
	}
	return []Offer{
		{"KESTREL turbocharger 712290-0003 genuine, new", "Norwick Turbo", "K20418733", "312.40", rules.DeceptionSuspected, "", 22,
			[]rules.Finding{
				{Rule: Serial, Statement: "The serial K20418733 also stands at Ostmark Parts.", Strength: 1, WeightDB: 14,
					Evidence: []rules.Evidence{quote(2, "serial_number", "K20418733"), quote(3, "serial_number", "K-20418733")}},
				{Rule: Price, Statement: "One unit costs 312.40 EUR landed, 38 % of the median.", Strength: 1, WeightDB: 8,
					Evidence: []rules.Evidence{quote(2, "price", "EUR 312,40")}},
			}, []rules.Gap{{Rule: 2, Need: rules.NeedPhotos}}},
		{"KESTREL turbo 712290-0003 original", "Ostmark Parts", "K-20418733", "799.00", rules.DeceptionSuspected, "", 14,
			[]rules.Finding{{Rule: Serial, Statement: "The serial K20418733 also stands at Norwick Turbo.", Strength: 1, WeightDB: 14,
				Evidence: []rules.Evidence{quote(3, "serial_number", "K-20418733")}}}, nil},
		{"Turbo copy 1:1 for 712290-0003", "Fell & Sons", "", "149.00", rules.CopyOpenlySold, "", 2, nil, []rules.Gap{{Rule: 0, Need: rules.NeedSerial}}},
		{"KESTREL 712290-0003", "Harbour Diesel", "K20511020", "840.00", rules.NothingFound, "", -2, nil, nil},
		{"KESTREL 712290-0003 new", "Millgate", "", "861.00", rules.NothingFound, "", -2, nil, nil},
		{"KESTREL 712290-0003 neu", "Turbohaus Lind", "", "799.00", rules.NothingFound, "", -2, nil, nil},
		{"turbo", "", "", "", rules.TooIncomplete, "", 0, nil, []rules.Gap{{Rule: 0, Need: rules.NeedSerial}, {Rule: 1, Need: rules.NeedPrice}, {Rule: 2, Need: rules.NeedPhotos}}},
	}
}

const hash = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad" // of "abc", FIPS 180-4

// Result judges offers in the order given.
func Result(offers []Offer) *rules.Result {
	f := &rules.Facts{Options: rules.Options{Currency: "EUR", AsOf: AsOf}, Claims: claims.NewBatch(len(offers))}
	var compared []market.Offer
	var seen []serials.Sighting
	var photos []photogroup.Photo
	for i, o := range offers {
		l := &listing.Listing{Key: fmt.Sprintf("L%d", i+1), File: "in/offers.csv", SHA256: hash, Row: i + 2}
		set := func(n listing.Name, value string) {
			if value != "" {
				l.Set(listing.Field{Name: n, Value: value, Raw: value, From: listing.Cell(i+2, n.String())})
			}
		}
		set(listing.Title, o.Title)
		set(listing.Seller, o.Seller)
		set(listing.SerialNumber, o.Serial)
		set(listing.Price, o.Price)
		currency := cmp.Or(o.Currency, "EUR")
		set(listing.Currency, currency)
		set(listing.Condition, listing.New)
		set(listing.CapturedAt, fmt.Sprintf("2026-02-%02dT08:00:00Z", i%28+1))
		set(listing.URL, fmt.Sprintf("https://shop.example/item/%d", i+1))
		landed := rules.Landed{Lot: 1}
		if a, err := listing.ParseAmount(o.Price, currency); err == nil {
			landed.Price = a
		} else {
			landed.Excluded = "no price was observed"
		}
		if o.Serial != "" {
			seen = append(seen, serials.Sighting{Listing: i, Seller: o.Seller, Part: "KESTREL 712290-0003", Serial: o.Serial, Field: listing.SerialNumber})
		}
		if i < 2 {
			l.PhotosKnown = true
			l.Photos = []listing.Photo{{File: fmt.Sprintf("in/photos/%d.jpg", i+1), SHA256: hash, Format: "jpeg", Width: 8, Height: 8, Fingerprint: 0xf0f0f0f0a5a5a5a5, Printed: true}}
			photos = append(photos, photogroup.Photo{Fingerprint: 0xf0f0f0f0a5a5a5a5, Mirror: 0x0f0f0f0f5a5a5a5a, Printed: true, SHA256: hash, Listing: i, Seller: o.Seller, Part: "KESTREL 712290-0003"})
			f.PhotoOf = append(f.PhotoOf, rules.PhotoRef{Listing: i})
		}
		f.Listings = append(f.Listings, l)
		f.Parts = append(f.Parts, &parts.Part{ID: "KESTREL 712290-0003", Number: "712290-0003"})
		f.Claims.Put(i, &claims.Result{Summary: claims.Summary{Claim: claims.ClaimGenuine}})
		f.Landed = append(f.Landed, landed)
		compared = append(compared, market.Offer{Listing: i, Part: "KESTREL 712290-0003", Unit: listing.Complete, Condition: listing.New,
			Claim: market.ClaimGenuine, Price: landed.Price, SellerGroup: o.Seller, Excluded: landed.Excluded})
	}
	f.Markets = market.BuildSet(compared, nil, nil, "EUR", AsOf, market.Defaults())
	f.Serials = serials.Build(seen)
	f.Photos = photogroup.Build(photos, photogroup.Options{})
	res := &rules.Result{Facts: f, Rules: []*rules.Rule{Serial, Price, Views}}
	for i, o := range offers {
		res.Ranked = append(res.Ranked, &rules.Judged{Facts: f, N: i, Listing: f.Listings[i], Rank: i + 1, Price: f.Markets.Compare(i).Price, Findings: o.Findings, Gaps: o.Gaps,
			EvidenceDB: o.DB, Support: rules.Support(o.DB, true), Coverage: 1 - float64(len(o.Gaps))/3, Complete: 1 - float64(len(o.Gaps))/3,
			Outcome: o.Outcome})
	}
	return res
}

// Run is the sample's run.
func Run() *report.Run {
	return &report.Run{Version: "1.0", RuleSetHash: report.RuleSetHash([]*rules.Rule{Serial, Price, Views}, nil), AsOf: AsOf, AsOfGiven: true,
		Inputs: []string{"in"}, Out: "out",
		Settings: []report.SettingFile{{Role: "makers", File: "makers.yaml", SHA256: hash, Size: 3}},
		Captures: []listing.Capture{{File: "in/offers.csv", SHA256: hash, Size: 3, Kind: "table", Modified: AsOf.Add(-time.Hour), Listings: 7}},
		Problems: []listing.Problem{
			{Severity: listing.Refused, File: "in/broken.zip", Reason: "the archive is cut off", Hint: "save it again"},
			{Severity: listing.Partial, File: "in/offers.csv", Place: listing.Cell(8, "price"), Field: listing.Price, Raw: "12,5O", Reason: `"12,5O" is not a price`},
		},
		ColumnMaps: []report.ColumnMap{{File: "in/offers.csv", Heading: "Preis", Field: "price", How: "known name"}},
		Warnings:   []string{"no reference prices were given"}}
}
