package settings

import (
	"strconv"
	"strings"
	"time"

	"counterfoil/parse/listing"
)

// ReferencePrice is an authorised price: what the maker or a distributor asks
// for a genuine part, dated and sourced.
type ReferencePrice struct {
	Part      string // as written by the user
	Unit      string
	Condition string
	Price     listing.Amount
	Date      time.Time
	Source    string
	Line      int
}

// ReadReference reads a table with the columns part_number, price, currency,
// date, source and, if wanted, unit_type (default complete) and condition
// (default new).
func ReadReference(file string, data []byte) ([]ReferencePrice, error) {
	var list []ReferencePrice
	err := readCSV(file, data, []string{"part_number", "price", "currency", "date", "source"},
		[]string{"unit_type", "condition"}, func(r row) {
			price, err := listing.ParseAmount(r.cells["price"], r.cells["currency"])
			if err != nil {
				r.fail("price", "%v", err)
			} else if price.Minor <= 0 {
				r.fail("price", "%q is not above zero", r.cells["price"])
			}
			list = append(list, ReferencePrice{
				Part: r.needed("part_number"), Unit: r.oneOf("unit_type", listing.UnitTypes),
				Condition: r.oneOf("condition", listing.Conditions), Price: price,
				Date: r.day("date"), Source: r.needed("source"), Line: r.line})
		})
	if err != nil {
		return nil, err
	}
	return list, nil
}

// Rate says that one unit of Base was worth Rate units of Quote on Date.
type Rate struct {
	Date        time.Time
	Base, Quote string
	Rate        float64
	Source      string
	Line        int
}

// ReadRates reads a table with the columns date, base, quote, rate, source.
func ReadRates(file string, data []byte) ([]Rate, error) {
	var list []Rate
	err := readCSV(file, data, []string{"date", "base", "quote", "rate", "source"}, nil, func(r row) {
		for _, c := range []string{"base", "quote"} {
			if _, ok := listing.MinorUnits(r.cells[c]); !ok {
				r.fail(c, "%q is not an ISO 4217 currency code", r.cells[c])
			}
		}
		rate, err := strconv.ParseFloat(r.cells["rate"], 64)
		if err != nil || !(rate > 1e-9 && rate < 1e9) || strings.ContainsAny(r.cells["rate"], "eExX_") {
			r.fail("rate", "%q is not a rate such as 1.0835", r.cells["rate"])
		}
		list = append(list, Rate{Date: r.day("date"), Base: r.cells["base"], Quote: r.cells["quote"],
			Rate: rate, Source: r.needed("source"), Line: r.line})
	})
	if err != nil {
		return nil, err
	}
	return list, nil
}

// Kinds of equivalence. Each makes two numbers one part; the word is printed
// beside a resolution.
const (
	OENumber   = "oe-number"
	Supersedes = "supersedes"
	Equivalent = "equivalent"
)

// Equivalence says that two numbers name one part.
type Equivalence struct {
	Part, Same string
	Kind       string
	Source     string
	Line       int
}

// ReadEquivalents reads a table with the columns part_number, same_as, kind
// and source.
func ReadEquivalents(file string, data []byte) ([]Equivalence, error) {
	var list []Equivalence
	err := readCSV(file, data, []string{"part_number", "same_as", "kind", "source"}, nil, func(r row) {
		list = append(list, Equivalence{Part: r.needed("part_number"), Same: r.needed("same_as"),
			Kind:   r.oneOf("kind", []string{Equivalent, OENumber, Supersedes}),
			Source: r.needed("source"), Line: r.line})
	})
	if err != nil {
		return nil, err
	}
	return list, nil
}
