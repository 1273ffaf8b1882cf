package settings

import "counterfoil/parse/listing"

// OwnPrice is what the user pays and asks for a part.
type OwnPrice struct {
	Part      string // as written by the user
	Unit      string
	Condition string
	Cost      listing.Amount
	List      listing.Amount
	Line      int
}

// ReadOwnPrices reads a table with the columns part_number, cost, list,
// currency and, if wanted, unit_type (default complete) and condition (default
// new). A part, unit and condition may stand once.
func ReadOwnPrices(file string, data []byte) ([]OwnPrice, error) {
	type key struct{ part, unit, condition string }
	first := map[key]int{}
	var list []OwnPrice
	err := readCSV(file, data, []string{"part_number", "cost", "list", "currency"},
		[]string{"unit_type", "condition"}, func(r row) {
			p := OwnPrice{Part: r.needed("part_number"), Unit: r.oneOf("unit_type", listing.UnitTypes),
				Condition: r.oneOf("condition", listing.Conditions), Line: r.line}
			p.Cost, p.List = r.price("cost"), r.price("list")
			k := key{listing.CanonicalNumber(p.Part), p.Unit, p.Condition}
			if at, ok := first[k]; ok {
				r.fail("part_number", "%q stands in line %d already, with the same unit type and condition", p.Part, at)
			}
			first[k] = r.line
			list = append(list, p)
		})
	if err != nil {
		return nil, err
	}
	return list, nil
}

// price reads an amount above zero in the row's currency.
func (r row) price(column string) listing.Amount {
	a, err := listing.ParseAmount(r.cells[column], r.cells["currency"])
	if err != nil {
		r.fail(column, "%v", err)
	} else if a.Minor <= 0 {
		r.fail(column, "%q is not above zero", r.cells[column])
	}
	return a
}
