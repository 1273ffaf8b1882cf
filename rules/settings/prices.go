package settings

import (
	"strconv"
	"strings"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/parse/listing/strict"
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
	err := strict.Table(file, data, []string{"part_number", "price", "currency", "date", "source"},
		[]string{"unit_type", "condition"}, func(r strict.Row) {
			price := amount(r, "price")
			list = append(list, ReferencePrice{
				Part: r.Needed("part_number"), Unit: r.OneOf("unit_type", listing.UnitTypes),
				Condition: r.OneOf("condition", listing.Conditions), Price: price,
				Date: r.Day("date"), Source: r.Needed("source"), Line: r.Line})
		})
	if err != nil {
		return nil, err
	}
	return list, nil
}

// amount reads one above zero in the row's currency.
func amount(r strict.Row, column string) listing.Amount {
	a, err := listing.ParseAmount(r.Cells[column], r.Cells["currency"])
	if err != nil {
		r.Fail(column, "%v", err)
	} else if a.Minor <= 0 {
		r.Fail(column, "%q is not above zero", r.Cells[column])
	}
	return a
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
	err := strict.Table(file, data, []string{"date", "base", "quote", "rate", "source"}, nil, func(r strict.Row) {
		for _, c := range []string{"base", "quote"} {
			if _, ok := listing.MinorUnits(r.Cells[c]); !ok {
				r.Fail(c, "%q is not an ISO 4217 currency code", r.Cells[c])
			}
		}
		rate, err := strconv.ParseFloat(r.Cells["rate"], 64)
		if err != nil || !(rate > 1e-9 && rate < 1e9) || strings.ContainsAny(r.Cells["rate"], "eExX_") {
			r.Fail("rate", "%q is not a rate such as 1.0835", r.Cells["rate"])
		}
		list = append(list, Rate{Date: r.Day("date"), Base: r.Cells["base"], Quote: r.Cells["quote"],
			Rate: rate, Source: r.Needed("source"), Line: r.Line})
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
	err := strict.Table(file, data, []string{"part_number", "same_as", "kind", "source"}, nil, func(r strict.Row) {
		list = append(list, Equivalence{Part: r.Needed("part_number"), Same: r.Needed("same_as"),
			Kind:   r.OneOf("kind", []string{Equivalent, OENumber, Supersedes}),
			Source: r.Needed("source"), Line: r.Line})
	})
	if err != nil {
		return nil, err
	}
	return list, nil
}
