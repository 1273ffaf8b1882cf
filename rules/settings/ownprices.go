package settings

import (
	"counterfoil/parse/listing"
	"counterfoil/parse/listing/strict"
)

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
	err := strict.Table(file, data, []string{"part_number", "cost", "list", "currency"},
		[]string{"unit_type", "condition"}, func(r strict.Row) {
			p := OwnPrice{Part: r.Needed("part_number"), Unit: r.OneOf("unit_type", listing.UnitTypes),
				Condition: r.OneOf("condition", listing.Conditions), Line: r.Line}
			p.Cost, p.List = amount(r, "cost"), amount(r, "list")
			k := key{listing.CanonicalNumber(p.Part), p.Unit, p.Condition}
			if at, ok := first[k]; ok {
				r.Fail("part_number", "%q stands in line %d already, with the same unit type and condition", p.Part, at)
			}
			first[k] = r.Line
			list = append(list, p)
		})
	if err != nil {
		return nil, err
	}
	return list, nil
}
