package values

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// derived reads title and description and gives what was derived.
func derived(title, description string, h *Hints, more ...string) (*listing.Listing, []listing.Problem) {
	l := &listing.Listing{File: "parts.csv", Row: 2}
	Set(l, listing.Title, title, listing.Cell(2, "title"), h)
	Set(l, listing.Description, description, listing.Cell(2, "text"), h)
	for i := 0; i+1 < len(more); i += 2 {
		Set(l, listing.NameOf(more[i]), more[i+1], listing.Cell(2, more[i]), h)
	}
	return l, Derive(l, h)
}

// Common practice, no source; all numbers are invented.
func TestDeriveFromTitle(t *testing.T) {
	for _, c := range []struct{ title, part, serial, gtin, lot, unit, condition string }{
		{"Turbolader 712345-5001S NEU", "712345-5001S", "", "", "", "complete", "new"},
		{"2x Turbocharger 712345-5001S new", "712345-5001S", "", "", "2", "complete", "new"},
		{"CHRA for turbocharger 41234-05678, remanufactured", "41234-05678", "", "", "", "chra", "remanufactured"},
		{"Turbo core assy 712345-0001", "712345-0001", "", "", "", "chra", ""},
		{"Dichtungssatz Turbolader 8 Stück", "", "", "", "", "kit", ""},
		{"Turbolader mit Dichtungssatz", "", "", "", "", "complete", ""},
		{"Turbo + gasket kit", "", "", "", "", "complete", ""},
		{"Turbo without actuator", "", "", "", "", "complete", ""},
		{"Turbolader ohne Stellmotor", "", "", "", "", "complete", ""},
		{"Turbo actuator 712345", "", "", "", "", "component", ""},
		{"Turbocharger, used, S/N X1234567", "", "X1234567", "", "", "complete", "used"},
		{"Turbo 6291041500213 rebuilt", "", "", "6291041500213", "", "complete", "rebuilt"},
		{"Turbosprężarka używana", "", "", "", "", "complete", "used"},
		{"Rebuilt turbo with new CHRA", "", "", "", "", "complete", "rebuilt"},
		{"турбина б/у", "", "", "", "", "complete", "used"},
		{"增压器机芯 全新", "", "", "", "", "chra", "new"},
		{"new and used turbochargers", "", "", "", "", "complete", ""},
		{"Turbo New York style", "", "", "", "", "complete", ""},
		{"Turbo not new", "", "", "", "", "complete", ""},
		{"turbo no core charge", "", "", "", "", "complete", ""},
	} {
		l, problems := derived(c.title, "", nil)
		assert.Empty(t, problems, c.title)
		assert.Equal(t, c.part, l.Value(listing.PartNumber), c.title)
		assert.Equal(t, c.serial, l.Value(listing.SerialNumber), c.title)
		assert.Equal(t, c.gtin, l.Value(listing.GTIN), c.title)
		assert.Equal(t, c.lot, l.Value(listing.LotQuantity), c.title)
		assert.Equal(t, c.unit, l.Value(listing.UnitType), c.title)
		assert.Equal(t, c.condition, l.Value(listing.Condition), c.title)
	}
}

func TestDeriveQuotesItsPlace(t *testing.T) {
	l, _ := derived("Turbolader Generalüberholt", "S/N: X1234567, OE 03X253016T / 03X253010A", nil)
	f, ok := l.Get(listing.Condition)
	require.True(t, ok)
	assert.Equal(t, "Generalüberholt", f.Raw)
	assert.Equal(t, listing.Cell(2, "title"), f.From)
	f, ok = l.Get(listing.SerialNumber)
	require.True(t, ok)
	assert.Equal(t, "X1234567", f.Raw)
	assert.Equal(t, listing.Cell(2, "text"), f.From)
	f, _ = l.Get(listing.OENumbers)
	assert.Equal(t, "03X253016T; 03X253010A", f.Value)
	assert.Equal(t, "03X253016T / 03X253010A", f.Raw)
}

func TestDeriveKeepsWhatIsSet(t *testing.T) {
	l, _ := derived("2x Turbo 712345-5001S new S/N X1234567", "", nil, "part_number", "AB1", "condition", "used", "lot_quantity", "1", "unit_type", "chra", "serial_number", "Y1")
	assert.Equal(t, "AB1", l.Value(listing.PartNumber))
	assert.Equal(t, "used", l.Value(listing.Condition))
	assert.Equal(t, "1", l.Value(listing.LotQuantity))
	assert.Equal(t, "chra", l.Value(listing.UnitType))
	assert.Equal(t, "Y1", l.Value(listing.SerialNumber))
}

func TestDeriveSeveralNumbers(t *testing.T) {
	l, problems := derived("Turbo 712345-5001S 712345-5002S", "", nil)
	number, _ := l.Get(listing.PartNumber)
	assert.Equal(t, "712345-5001S; 712345-5002S", number.Value, "none of them is known to be the one that is sold")
	assert.Equal(t, "712345-5001S 712345-5002S", number.Raw)
	require.Len(t, problems, 1)
	assert.Equal(t, listing.Notice, problems[0].Severity)
	assert.Contains(t, problems[0].Reason, "712345-5002S")

	l, problems = derived("Turbo", "fits 712345-5001S 712345-5002S", nil)
	assert.Empty(t, problems)
	assert.False(t, l.Has(listing.PartNumber), "a list of numbers in a description names no single part")
}

// Common practice, no source.
func TestDeriveCoreDeposit(t *testing.T) {
	for text, want := range map[string]string{
		"plus 150 EUR core deposit":                  "150 150 EUR core deposit",
		"Altteilpfand 150 €":                         "150 Altteilpfand 150 €",
		"zzgl. 150,00 € Altteilpfand":                "150.00 150,00 € Altteilpfand",
		"consigne 150 €":                             "150 consigne 150 €",
		"Consigne de 150 € remboursable":             "150 Consigne de 150 €",
		"kaucja 150 EUR":                             "150 kaucja 150 EUR",
		"залог 150 EUR":                              "150 залог 150 EUR",
		"core charge: €150.00. Shipping €10":         "150.00 core charge: €150.00",
		"Cauzione 1.150,00 € per il reso":            "1150.00 Cauzione 1.150,00 €",
		"no core charge":                             "0 no core charge",
		"Altteilpfand 150 $":                         "",
		"core deposit applies":                       "",
		"turbo core 2.0 100 kW":                      "",
		"core 12345":                                 "",
		"free shipping over 150 EUR, core is wanted": "",
	} {
		l, _ := derived("Turbo", text, nil, "price", "300 EUR")
		f, ok := l.Get(listing.CoreDeposit)
		got := ""
		if ok {
			got = f.Value + " " + f.Raw
		}
		assert.Equal(t, want, got, text)
	}
}

func TestDeriveConditionFromDescription(t *testing.T) {
	l, _ := derived("Turbo", "This turbo can be used in vans. Zustand: generalüberholt, wie abgebildet", nil)
	assert.Equal(t, listing.Rebuilt, l.Value(listing.Condition))
	l, _ = derived("Turbo", "This turbo can be used in new vans", nil)
	assert.False(t, l.Has(listing.Condition))
}

func TestResolveCurrency(t *testing.T) {
	l, problems := derived("Turbo", "", nil, "price", "$312.40")
	assert.False(t, l.Has(listing.Currency))
	require.Len(t, problems, 1)
	assert.Equal(t, listing.Partial, problems[0].Severity)
	assert.Equal(t, listing.Currency, problems[0].Field)
	assert.Equal(t, "$312.40", problems[0].Raw)

	l, problems = derived("Turbo", "", &Hints{Currency: "CAD"}, "price", "$312.40")
	assert.Empty(t, problems)
	assert.Equal(t, "CAD", l.Value(listing.Currency))

	l, _ = derived("Turbo", "", &Hints{Currency: "EUR"}, "price", "312.40")
	f, _ := l.Get(listing.Currency)
	assert.Equal(t, listing.Field{Name: listing.Currency, Value: "EUR", From: listing.Place{Source: "assumed"}}, f)

	l, problems = derived("Turbo", "", &Hints{Currency: "EUR"}, "price", "$312.40")
	assert.False(t, l.Has(listing.Currency), "the assumed currency has no dollar sign")
	assert.Len(t, problems, 1)

	l, problems = derived("Turbo", "", nil, "price", "312.40 EUR", "shipping", "10 USD", "core_deposit", "100 EUR")
	assert.False(t, l.Has(listing.Shipping))
	assert.Equal(t, "100", l.Value(listing.CoreDeposit))
	require.Len(t, problems, 1)
	assert.Equal(t, listing.Shipping, problems[0].Field)

	l, _ = derived("Turbo", "", nil, "price", "312.40", "shipping", "10 EUR")
	assert.Equal(t, "EUR", l.Value(listing.Currency))
}

func BenchmarkDerive(b *testing.B) {
	b.ReportAllocs()
	for range b.N {
		derived("Turbolader 712345-5001S für 1.9 Diesel 105 PS, generalüberholt", "Works well. Fits many vans. Tested on the bench, with balance sheet.", nil, "price", "312,40 EUR")
	}
}

// The frames and numbers are invented after the forms of the trade.
func TestModelWrittenAsNumber(t *testing.T) {
	for model, want := range map[string]string{"454231-5007S": "454231-5007S", "PA-849-2020-KIT": "PA-849-2020-KIT", "GT1749V": "", "TD04HL-15T": "",
		"1.9 TDI 105 2008 2010": "", "2019/2020": ""} {
		l := &listing.Listing{}
		l.Set(listing.Field{Name: listing.Model, Value: model, Raw: model})
		Derive(l, nil)
		assert.Equal(t, want, l.Value(listing.PartNumber), model)
	}
}
