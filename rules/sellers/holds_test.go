package sellers

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// randomMarket shares values of all kinds among some of 14 accounts.
func randomMarket(seed uint64) []Value {
	r := rand.New(rand.NewPCG(seed, 7))
	kinds := []Kind{Phone, Mail, Address, NameAlike, SameSerial, SamePhoto, SameText, SamePhrase, SameSlip, SameCamera, SameDevice, PriceRule, Place}
	var list []Value
	for i := range 6 + r.IntN(22) {
		who := r.Perm(14)[:2+r.IntN(4)]
		slices.Sort(who)
		accounts := ""
		for _, a := range who {
			accounts += string(rune('a' + a))
		}
		kind := kinds[r.IntN(len(kinds))]
		if i > 5 {
			kind = kinds[3+r.IntN(len(kinds)-3)]
		}
		v := value(kind, fmt.Sprint("value ", i), accounts)
		if kind == Phone {
			v.Text = fmt.Sprint("+4930", 1_000_000+i)
		}
		if r.IntN(4) == 0 {
			v.First = v.Quotes[r.IntN(len(v.Quotes))].Seller
		}
		list = append(list, v)
	}
	return list
}

// Who leaves when a value falls is what linking and grouping the whole market
// anew without it gives.
func TestHoldsByGroupingAgain(t *testing.T) {
	leaving := 0
	for seed := range uint64(60) {
		values := randomMarket(seed)
		for _, g := range market(14, values...).Groups() {
			for _, h := range g.Holds {
				again := market(14, slices.DeleteFunc(slices.Clone(values), func(v Value) bool { return v.Text == h.Value })...)
				rests := map[string][]string{}
				for _, m := range g.Members {
					head := m
					if r := again.Group(m); r != nil {
						head = r.Key
					}
					rests[head] = append(rests[head], m)
				}
				var largest, leave []string
				for _, m := range g.Members { // of equal rests that of the first member counts
					for _, r := range rests {
						if r[0] == m && len(r) > len(largest) {
							largest = r
						}
					}
				}
				for _, m := range g.Members {
					if !slices.Contains(largest, m) {
						leave = append(leave, m)
					}
				}
				require.Equal(t, leave, h.Leave, "market %d, %s", seed, h.Value)
				require.True(t, h.Tried)
				leaving += min(1, len(leave))
			}
		}
	}
	assert.Greater(t, leaving, 100)
}
