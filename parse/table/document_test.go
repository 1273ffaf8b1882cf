package table

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"counterfoil/parse/listing"
)

// The forms of answers are those that web interfaces commonly give; the data is
// invented, and the expected rows are read off by hand.
func TestJSONDocuments(t *testing.T) {
	const a, b = `{"title":"Turbo A","price":"9.50","currency":"EUR"}`, `{"title":"Turbo B","price":"8.00","currency":"EUR"}`
	both := "1 Turbo A 9.50\n2 Turbo B 8.00\n"
	for name, c := range map[string]struct{ text, want, problem string }{
		"items in one line":          {`{"items":[` + a + `,` + b + `]}`, both, "the objects of the list items are read"},
		"printed over several lines": {"{\n  \"total\": 2,\n  \"data\": {\n    \"results\": [\n" + a + ",\n" + b + "\n]\n  }\n}\n", both, "the list data.results"},
		"nodes of edges":             {`{"data":{"edges":[{"node":` + a + `},{"node":` + b + `}]}}`, both, ""},
		"under a name of its own":    {`{"turbos":[` + a + `,` + b + `],"page":1}`, both, "turbos"},
		"facets before":              {`{"facets":[{"name":"Brand","count":3},{"name":"Colour","count":2}],"results":[` + a + `,` + b + `]}`, both, ""},
		"links before":               {`{"breadcrumbs":[{"name":"Parts","url":"/parts"}],"items":[` + a + `,` + b + `]}`, both, ""},
		"one listing, indented":      {"{\n\"title\": \"Turbo A\",\n\"price\": 9.50,\n\"currency\": \"EUR\",\n\"offers\": [{\"price\": \"1\", \"seller\": \"x\"}]\n}", "1 Turbo A 9.50\n", ""},
		"one listing, one line":      {a, "1 Turbo A 9.50\n", ""},
		"lines":                      {a + "\n" + b + "\n", both, ""},
		"lines, the first damaged":   {`{"title":"Turbo` + "\n" + b + "\n", "2 Turbo B 8.00\n", "row 1: not a JSON object"},
		"lines, the second damaged":  {a + "\nxx\n" + b + "\n", "1 Turbo A 9.50\n3 Turbo B 8.00\n", "row 2: not a JSON object"},
		"a damaged long line first":  {`{"title":"` + strings.Repeat("x", 9000) + "\n" + b + "\n", "2 Turbo B 8.00\n", "row 1: not a JSON object"},
		"damaged, indented":          {"{\n\"title\": \"Turbo A\",\n \"price\" 9.50,\n \"currency\": \"EUR\"\n}\n", "", "row 1: not a JSON object"},
		"cut in the list":            {`{"items":[` + a + `,{"title":"Turbo`, "1 Turbo A 9.50\n", "reading of the list items stopped behind its object 1"},
		"cut before the list":        {`{"total":2,"ite`, "", "not a JSON object: unexpected EOF"},
		"an empty answer":            {`{"total":0,"items":[]}`, "", "no key is the name of a field"},
		"an element that is none":    {`{"items":[` + a + `,7,` + b + `]}`, "1 Turbo A 9.50\n3 Turbo B 8.00\n", "row 2: not a JSON object"},
		"rows of extract":            {`{"rows":[{"listing":"x","file":"f.html","sha256":"","fields":{"title":{"value":"Turbo A","raw":"Turbo A","from":"json-ld name"},"price":{"value":"9.50","raw":"9.50","from":"json-ld offers.price"}}}]}`, "0 Turbo A 9.50\n", ""},
		"deep":                       {strings.Repeat(`{"a":`, 3000) + `[` + a + `]` + strings.Repeat(`}`, 3000), "", "no key is the name of a field"},
		"a list too long to keep":    {`{"notes":["` + strings.Repeat("x", 5<<20) + `","` + strings.Repeat("x", 5<<20) + `"],"items":[` + a + `,` + b + `]}`, both, ""},
		"a text too long to keep":    {`{"note":"` + strings.Repeat("x", 9<<20) + `","items":[` + a + `]}`, "", "more than eight megabytes"},
	} {
		got := ""
		res := StreamLines(strings.NewReader(c.text), "a.json", Options{}, func(l *listing.Listing) {
			got += fmt.Sprintf("%d %s %s\n", l.Row, l.Value(listing.Title), trimmed(l.Value(listing.Price)))
		})
		assert.Equal(t, c.want, got, name)
		said := ""
		for _, p := range res.Problems {
			said += p.Error() + "\n"
		}
		assert.Contains(t, said, c.problem, name)
	}
}

func trimmed(price string) string {
	whole, part, _ := strings.Cut(price, ".")
	return whole + "." + (part + "00")[:2]
}
