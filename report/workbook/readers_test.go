package workbook_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/report/internal/sample"
	"counterfoil/report/workbook"
	"counterfoil/rules"
	"counterfoil/rules/settings"
)

const profile = `makers:
  - name: Halden
    part_numbers: [{name: six and four, pattern: '(?P<base>\d{6})-?(?P<suffix>\d{4})', pad: 4, examples: [712345-0012]}]
    serials: [{name: plant and number, pattern: '(?P<plant>[A-Z])\d{8}', examples: [K20418733]}]
    plants: {K: Braga, A: Arad}
    countries: [PT, RO]
    views: [serial-plate, wheel-nut, lever-taper]
    bad_serials: [K99999999]
    models: {'712345-00\d\d': [HX-40]}
`

// readers is a batch with everything that the further sheets need.
func readers(t testing.TB) (*rules.Result, workbook.Options) {
	t.Helper()
	makers, err := settings.ReadMakers("makers.yaml", []byte(profile))
	require.NoError(t, err)
	offer := func(seller, price, rest string) string {
		return "title: Halden turbocharger 712345-0012\nbrand: Halden\nseller: " + seller + "\nprice: " + price +
			"\npart_number: 712345-0012\ncurrency: EUR\nunit_type: complete\ncondition: new\nshipping: 0\nwarranty: 12 months\nreturns: 30 days\ncountry_of_origin: PT\nview: serial-plate\nview: wheel-nut+lever-taper\n" + rest
	}
	res, err := sample.Audited(rules.Options{Makers: makers, Currency: "EUR",
		Equivalents: []settings.Equivalence{{Part: "712345-0012", Same: "LQ 145 702 K", Kind: settings.OENumber, Source: "catalogue"}},
		Rates:       []settings.Rate{{Date: sample.AsOf.AddDate(0, 0, -3), Base: "GBP", Quote: "EUR", Rate: 1.25, Source: "bank"}}},
		offer("Alfa", "900.00", "serial_number: K20418733\nlanguage: fr\nquantity_available: 3\ndescription: Turbocharger. Tel. +49 30 5550 1278"),
		offer("Beta", "800.00", "core_deposit: 150\nquantity_available: 40\ndescription: Turbocharger. Tel. +49 30 5550 1278"),
		offer("Gamma", "850.00", "description: A turbocharger in its box"),
		offer("Delta", "90.00", "title: Halden replica 1:1 for 712345-0012\ndescription: a replica"),
		offer("Own", "880.00", "description: A genuine Halden turbocharger. We opened the box to add a gasket."))
	require.NoError(t, err)
	rest, own, err := report.SetApart(res, "Own")
	require.NoError(t, err)
	wanted, err := report.FindWanted(rest, "LQ 145-702 K")
	require.NoError(t, err)
	pounds := func(minor int64) listing.Amount { return listing.Amount{Minor: minor, Currency: "GBP"} }
	return rest, workbook.Options{Dir: "out", Wanted: wanted, Own: own,
		Page: func(j *rules.Judged) string { return fmt.Sprintf("pages/%d.html", j.Rank) },
		OwnPrices: []settings.OwnPrice{
			{Part: "LQ 145 702 K", Unit: listing.Complete, Condition: listing.New, Cost: pounds(68000), List: pounds(80000)},
			{Part: "999999-0001", Unit: listing.Complete, Condition: listing.New, Cost: pounds(100), List: pounds(200)}}}
}

func TestSheetsOfTheReaders(t *testing.T) {
	res, opt := readers(t)
	f := open(t, write(t, res, sample.Run(), opt))
	assert.Equal(t, []string{"Read first", "Own listings", "Offers to consider", "Arrival inspection", "Rivals by part", "Suspects", "Findings",
		"Markets", "Sellers", "Serials", "Photos", "Incomplete", "Rules", "Run"}, f.GetSheetList())

	offers := table(t, f, "Offers to consider", "No.")
	require.Len(t, offers, 3)
	assert.Equal(t, []string{"Gamma", "850.00", "none"}, of(offers[0], "Seller", "Landed price", "Support in words"))
	assert.Equal(t, []string{"Beta", "800.00", "weak"}, of(offers[1], "Seller", "Landed price", "Support in words"), "weak evidence stands after none, whatever the price")
	assert.Contains(t, offers[1]["What to know of the price"], "Core deposit of 150.00 EUR on top.")
	assert.Equal(t, []string{"Alfa", "fr"}, of(offers[2], "Seller", "Language"))
	assert.True(t, strings.HasPrefix(offers[2]["Message to the seller"], "Bonjour,\n\nje suis intéressé(e) par votre annonce « Halden turbocharger 712345-0012 »."))
	rows, err := f.GetRows("Offers to consider")
	require.NoError(t, err)
	assert.Contains(t, rows[2][0], "Not on this sheet: 1 copy openly sold (rank ")

	arrival := table(t, f, "Arrival inspection", "Step")
	text := ""
	for _, r := range arrival {
		text += strings.Join(of(r, "What to look at", "What to hold it against", "Tick"), " | ") + "\n"
	}
	for _, want := range []string{"712345-0012\nLQ 145 702 K (oe-number of 712345-0012; catalogue) | ☐", "plant and number, such as K20418733\nplants: A Arad, K Braga",
		"(profile of Halden) | K99999999", "PT, RO", "HX-40", "Compare with the maker's guide: wheel nut (profile of Halden)", "lever taper",
		"Box, serial plate and order agree.", "Serial checked with the maker", "Caps are on", "Weight against a known unit", "not ground", "fixings",
		"Blade count", "turns freely", "Axial play", "actuator's setting", "Oil ports", "before fitting", "qualified technician"} {
		assert.Contains(t, text, want)
	}
	validations, err := f.GetDataValidations("Arrival inspection")
	require.NoError(t, err)
	assert.Len(t, validations, 1)

	// 680 pounds at 1.25 are 850 euro: the arithmetic of the ratios.
	rivals := table(t, f, "Rivals by part", "Part")
	require.Len(t, rivals, 5)
	assert.Equal(t, []string{"Halden 999999-0001", "no offer in this batch"}, of(rivals[4], "Part", "Rival"))
	assert.Equal(t, []string{"Halden 712345-0012", "850.00", "1,000.00", "Delta", "90.00"}, of(rivals[0], "Part", "Own cost", "Own list price", "Rival", "Landed price"))
	assert.Equal(t, []string{"Beta", "94% ", "80% ", "40", "Under your own cost."}, of(rivals[1], "Rival", "Price / own cost", "Price / own list", "Stock claimed", "Remarks"))
	assert.Equal(t, []string{"Alfa", "106% ", ""}, of(rivals[3], "Rival", "Price / own cost", "Remarks"))
	assert.Contains(t, rivals[3]["Seller group"], "one of 2 accounts: sheet Sellers, group ")
	for _, r := range rivals {
		assert.NotEqual(t, "Own", r["Rival"])
	}

	own := table(t, f, "Own listings", "No.")
	require.NotEmpty(t, own)
	assert.True(t, slices.ContainsFunc(own, func(r map[string]string) bool { return r["Kind"] == "weighs nothing" }))
	for _, name := range []string{"Suspects", "Incomplete", "Findings"} {
		rows, err := f.GetRows(name)
		require.NoError(t, err)
		for _, r := range rows {
			assert.NotContains(t, r, "A5", "%s leaves the own listing out", name)
		}
	}

	sellers := table(t, f, "Sellers", "Group")
	var group map[string]string
	for _, s := range sellers {
		if s["Accounts"] == "2" {
			group = s
		}
	}
	require.NotNil(t, group)
	assert.Equal(t, []string{"Alfa\nBeta", "2", "43"}, of(group, "Sellers", "Listings", "Units claimed"))
	assert.Contains(t, group["What holds the group together"], "telephone number +49••••••••78: 1 pair, 39.7 dB")
	for _, s := range sellers {
		for _, cell := range s {
			assert.NotContains(t, cell, "5550", "contacts are masked")
		}
	}

	linked, target, err := f.GetCellHyperLink("Suspects", "M4")
	require.NoError(t, err)
	assert.True(t, linked)
	assert.Equal(t, "pages/1.html", target)
	rows, err = f.GetRows("Read first")
	require.NoError(t, err)
	assert.Contains(t, rows, []string{"Your own listings", "1", "of Own are not among these: no suspicion is reckoned for them, and the sheets of suspects, findings and the incomplete leave them out. Sheet Own listings."})
}

// Every sheet keeps to the schema, whatever is asked for, and comes out the
// same each time.
func TestSheetsOfTheReadersAreValid(t *testing.T) {
	res, opt := readers(t)
	opt.Thumb = thumb
	run := sample.Run()
	run.Decided = report.Decided{"A1": {Word: "order", Note: "-1", Then: "e00000000"}, "B9": {Note: "gone"}}
	data := write(t, res, run, opt)
	for range 3 {
		require.True(t, bytes.Equal(data, write(t, res, run, opt)))
	}
	validate(t, data)
}

func TestSheetsOfTheReadersWithoutAnything(t *testing.T) {
	res, err := sample.Audited(rules.Options{Currency: "EUR"})
	require.NoError(t, err)
	wanted, err := report.FindWanted(res, "712345-0012")
	require.NoError(t, err)
	opt := workbook.Options{Wanted: wanted, Own: &report.Own{Seller: "x"}, OwnPrices: []settings.OwnPrice{{Part: "1"}}}
	f := open(t, write(t, res, &report.Run{AsOf: time.Unix(0, 0)}, opt))
	rows, err := f.GetRows("Offers to consider")
	require.NoError(t, err)
	assert.Contains(t, rows[len(rows)-1], "No such offer in what was supplied.")
}

// Seller names and titles of the input stay text on every new sheet.
func TestHostileTextOnTheReadersSheets(t *testing.T) {
	const evil = "=HYPERLINK(\"https://x.example\")"
	res, err := sample.Audited(rules.Options{Currency: "EUR"},
		"title: "+evil+"\nseller: "+evil+"\nprice: 5\ncurrency: EUR\npart_number: 712345-0012\ncondition: new\nunit_type: complete\ndescription: "+evil+" OEM quality\nreturns: "+evil+"\nlisting_id: "+evil)
	require.NoError(t, err)
	rest, own, err := report.SetApart(res, evil)
	require.NoError(t, err)
	wanted, err := report.FindWanted(res, "712345-0012")
	require.NoError(t, err)
	wanted.Offers = append(wanted.Offers, wanted.Apart...)
	prices := []settings.OwnPrice{{Part: "712345-0012", Unit: listing.Complete, Condition: listing.New, Cost: listing.Amount{Minor: 1, Currency: "EUR"}}}
	for _, of := range []struct {
		res *rules.Result
		opt workbook.Options
	}{{rest, workbook.Options{Own: own}}, {res, workbook.Options{Wanted: wanted, OwnPrices: prices}}} {
		data := write(t, of.res, sample.Run(), of.opt)
		f := open(t, data)
		for _, name := range f.GetSheetList() {
			rows, err := f.GetRows(name)
			require.NoError(t, err)
			for n, r := range rows {
				for i := range r {
					cell := fmt.Sprintf("%c%d", 'A'+i, n+1)
					if i > 25 {
						continue
					}
					formula, err := f.GetCellFormula(name, cell)
					require.NoError(t, err)
					assert.Empty(t, formula, "%s!%s", name, cell)
				}
			}
		}
	}
}

func validate(t *testing.T, data []byte) {
	t.Helper()
	name := filepath.Join(t.TempDir(), "suspects.xlsx")
	require.NoError(t, os.WriteFile(name, data, 0o666))
	validateFile(t, name)
}
