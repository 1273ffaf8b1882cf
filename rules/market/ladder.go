package market

import "counterfoil/parse/listing"

// Rung names a price class of a part. Prices of a genuine part normally fall
// from rung to rung, so a new genuine part at the price of a lower rung needs an
// explanation (common practice, no source).
type Rung string

// The rungs, in the order of Ladder.
const (
	RungNew        Rung = "new genuine"    // complete, new or new old stock, claim genuine
	RungReman      Rung = "remanufactured" // complete, remanufactured or rebuilt
	RungCompatible Rung = "new compatible" // complete, new or new old stock, claim compatible
	RungUsed       Rung = "used"           // complete, used
	RungCHRA       Rung = "CHRA"           // CHRA, new, new old stock, remanufactured or rebuilt
	RungCore       Rung = "core"           // complete, core
)

var rungs = [...]Rung{RungNew, RungReman, RungCompatible, RungUsed, RungCHRA, RungCore}

// Class is one rung of one part: the prices of all its markets together, one
// for each seller group.
type Class struct {
	Rung    Rung
	Markets []Key // sorted
	Figures
	Warnings []string
}

// Ladder gives the price classes of a part in the order of the rungs, those
// without a price left out. No seller group is left out of them. The caller must
// not change the slices.
func (x *Index) Ladder(part string) []Class { return x.ladders[part] }

// rungOf gives the rung of a market, or "". Openly told copies are on none, and
// only markets that may be genuine are on those of reman, used, core and CHRA:
// a compatible CHRA costs a fraction of a genuine one.
func rungOf(k Key) Rung {
	isNew := k.Condition == listing.New || k.Condition == listing.NewOldStock
	isReman := k.Condition == listing.Remanufactured || k.Condition == listing.Rebuilt
	switch {
	case k.Unit == listing.Complete && isNew && k.Claim == ClaimGenuine:
		return RungNew
	case k.Unit == listing.Complete && isNew && k.Claim == ClaimCompatible:
		return RungCompatible
	case otherProduct(k.Claim):
		return ""
	case k.Unit == listing.CHRA && (isNew || isReman):
		return RungCHRA
	case k.Unit != listing.Complete:
		return ""
	case isReman:
		return RungReman
	case k.Condition == listing.Used:
		return RungUsed
	case k.Condition == listing.Core:
		return RungCore
	}
	return ""
}

func (x *Index) buildLadders() map[string][]Class {
	out := map[string][]Class{}
	for from := 0; from < len(x.markets); {
		part, on := x.markets[from].key.Part, map[Rung][]*market{}
		for ; from < len(x.markets) && x.markets[from].key.Part == part; from++ {
			m := x.markets[from]
			if r := rungOf(m.key); r != "" && m.pool.sample.Len() > 0 {
				on[r] = append(on[r], m)
			}
		}
		for _, r := range rungs {
			if markets := on[r]; len(markets) > 0 {
				out[part] = append(out[part], x.class(r, markets))
			}
		}
	}
	return out
}

func (x *Index) class(r Rung, markets []*market) Class {
	c, pool := Class{Rung: r}, markets[0].pool
	var members []int32
	for _, m := range markets {
		c.Markets = append(c.Markets, m.key)
		members = append(members, m.members...)
	}
	if len(markets) > 1 {
		pool = x.newPool(members, nil)
	}
	v := pool.view(-1)
	var substitute bool
	c.Figures, substitute = v.figures(x.s.MADFloor)
	c.Warnings = x.figureNotes(c.Figures, x.band(c.N), nil, 0, v, substitute)
	for _, m := range markets {
		if m.groups != nil {
			c.Warnings = append(c.Warnings, m.notes[0])
		}
	}
	return c
}
