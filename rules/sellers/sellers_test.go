package sellers

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

func account(l int, id, name, text string) Account {
	return Account{Listing: l, ID: id, Name: name, Host: "market.example", Country: "DE", Part: fmt.Sprint("p", l%2), Quantity: 2,
		Texts: []Text{{Field: listing.Description, Text: text}}}
}

func TestKey(t *testing.T) {
	assert.Equal(t, "market.example/77", Key(" WWW.Market.example ", "77", "Depot One"))
	assert.Equal(t, "market.example/~depot one", Key("market.example", "", "Depot-One GmbH"))
	assert.Equal(t, "", Key("market.example", " ", "!"))
	assert.NotEqual(t, Key("a.example", "1", ""), Key("b.example", "1", ""))
	for name, want := range map[string]string{"  DEPOT   One,  Ltd. ": "depot one", "Depot One GmbH & Co. KG": "depot one",
		"Ｄｅｐｏｔ": "depot", "ООО Склад": "ооо склад", "Склад ООО": "склад", "仓库有限公司": "仓库", "GmbH": "gmbh"} {
		assert.Equal(t, want, NormalName(name), name)
	}
}

func TestSellerFacts(t *testing.T) {
	in := []Account{
		account(3, "1", "Depot One", "Tel. 030 23125000"), account(1, "1", "DEPOT ONE", ""), account(1, "1", "DEPOT ONE", "tel 030 23125001"),
		account(2, "", "", "call 030 23125002"),
	}
	x := Build(in, Options{})
	s, ok := x.Seller("market.example/1")
	require.True(t, ok)
	assert.Equal(t, []string{"DEPOT ONE", "Depot One"}, s.Names)
	assert.Equal(t, []int{1, 3}, s.Listings)
	assert.Equal(t, []string{"p1"}, s.Parts)
	assert.Equal(t, 4, s.QuantityTotal)
	assert.Len(t, s.Contacts, 2)
	again, _ := Build(append(in, account(4, "1", "Depot One", "tel 030 23125000")), Options{}).Seller(s.Key)
	assert.Equal(t, s.Contacts, again.Contacts)
	assert.Equal(t, []string{"market.example/1"}, x.Sellers())
	require.Len(t, x.Contacts(2), 1) // kept although the seller is not known
	assert.Equal(t, 2, x.Contacts(2)[0].Listing)
	_, ok = x.Seller("")
	assert.False(t, ok)
	assert.Equal(t, "nobody", x.Group("nobody"))
	assert.Empty(t, x.Groups())
	assert.Empty(t, Build(nil, Options{}).Links())
}

func TestLinks(t *testing.T) {
	in := []Account{
		account(0, "a", "Depot One", "Tel. 030 23125000"),
		account(1, "b", "Parts Two", "phone +49 30 23125000"),
		account(2, "c", "Parts Three", "desk@three.example"),
		account(3, "d", "Depot One", "nothing"), // the same name alone is a weak link
	}
	other := account(4, "b", "Bench Four", "USt-IdNr. DE136695976, desk (at) three.example")
	other.Host = "bazaar.example"
	in = append(in, other)
	for i := range 6 { // six more sellers with a line of their own
		in = append(in, account(10+i, fmt.Sprint("x", i), fmt.Sprint("Shop X", i), fmt.Sprintf("tel 030 5550%03d", i)))
	}
	x := Build(in, Options{})

	require.Len(t, x.Links(), 3)
	phone := x.SharedContacts("market.example/b")[0]
	phone.value = 0
	assert.Equal(t, Link{A: "market.example/a", B: "market.example/b", Kind: Phone, Value: "+493023125000", Weight: phone.Weight, Sellers: 2,
		Evidence: []Quote{{"market.example/a", 0, listing.Description, "030 23125000", 5, 17, 0},
			{"market.example/b", 1, listing.Description, "+49 30 23125000", 6, 21, 0}}}, phone)
	// Eleven sellers, two with the number: u = (0 + 100 x 1e-4) / (9 + 100),
	// 10 log10(.9 / 9.174e-5) = 39.917.
	assert.InDelta(t, 39.917, phone.Weight, .001)
	names := x.SharedContacts("market.example/d")
	require.Len(t, names, 1)
	assert.Equal(t, Name, names[0].Kind)
	assert.Equal(t, 8.0, names[0].Weight)

	require.Len(t, x.Groups(), 2)
	assert.Equal(t, []string{"bazaar.example/b", "market.example/c"}, x.Groups()[0].Members)
	assert.Equal(t, "market.example/a", x.Groups()[1].Key)
	assert.Len(t, x.Groups()[1].Links, 1)
	assert.Equal(t, "market.example/a", x.Group("market.example/b"))
	assert.Equal(t, "market.example/d", x.Group("market.example/d"))

	slices.Reverse(in)
	assert.Equal(t, x, Build(in, Options{}))
}

func TestHubGuard(t *testing.T) {
	shop := func(n int, text string) []Account {
		var in []Account
		for i := range n {
			in = append(in, account(i, fmt.Sprintf("s%02d", i), fmt.Sprint("Shop ", i), text))
		}
		return in
	}
	line := "tel 030 23125000"
	with := func(n, all int) *Index { return Build(append(shop(n, line), shop(all, "")[n:]...), Options{}) }
	assert.Len(t, with(8, 40).Groups(), 1)
	x := with(9, 100)
	assert.Empty(t, x.Groups())
	for _, l := range x.Links() {
		assert.Equal(t, 4.0, l.Weight)
	}
	assert.Equal(t, []Hub{{Phone, "+493023125000", 9, hubMany, true, true}}, x.Hubs())
	assert.Empty(t, with(65, 1000).Links())
	assert.Equal(t, []Hub{{Phone, "+493023125000", 65, hubMany, false, true}}, with(65, 1000).Hubs())
	assert.Len(t, Build(append(shop(9, line), shop(100, "")[9:]...), Options{MaxSellers: 9}).Groups(), 1)

	assert.Len(t, with(3, 3).Groups(), 1) // three sellers may be all there are
	assert.Len(t, with(5, 25).Groups(), 1)
	assert.Len(t, with(6, 25).Hubs(), 1)
	assert.Len(t, with(4, 10).Hubs(), 1)
}

// A chain of strong links makes one group whose key does not depend on where it
// starts.
func TestChain(t *testing.T) {
	x := Build([]Account{
		account(0, "c", "One", "tel 030 23125001, tel 030 23125002"), account(1, "b", "Two", "tel 030 23125001"),
		account(2, "a", "Three", "tel 030 23125002"),
	}, Options{})
	require.Len(t, x.Groups(), 1)
	assert.Equal(t, "market.example/a", x.Groups()[0].Key)
	assert.Len(t, x.Groups()[0].Members, 3)
}

// Fellegi and Sunter 1969, 'A theory for record linkage': 10 log10(m/u).
func TestLinkWeight(t *testing.T) {
	// Five of a hundred: u = (3 + 100 x 1e-4) / (98 + 100).
	const number = "+493023125000"
	assert.InDelta(t, 10*math.Log10(.9*198/3.01), linkWeight(Phone, number, 5, 100), 1e-9)
	assert.Greater(t, linkWeight(Phone, number, 2, 100), linkWeight(Phone, number, 3, 100))
	assert.Greater(t, linkWeight(Phone, number, 3, 100), linkWeight(Phone, number, 3, 50))
	assert.Equal(t, 0.0, linkWeight(Phone, number, 1000, 1000))
	assert.InDelta(t, 10*math.Log10(.9/1e-4), linkWeight(Phone, number, 2, 2), 1e-9) // no others: the prior alone
	assert.Equal(t, 8.0, linkWeight(Name, "depot one", 2, 1000))
	assert.Equal(t, 8.0, linkWeight(Phone, "5551234", 2, 1000))
	assert.Equal(t, 8.0, linkWeight(Register, "HRB 12345", 2, 1000))
	assert.Equal(t, 40.0, linkWeight(Register, "HRB 12345 neustadt", 2, 1000))
}

func BenchmarkBuild100k(b *testing.B) {
	in := make([]Account, 100_000)
	for i := range in {
		in[i] = account(i, fmt.Sprint("s", i%3000), "Shop", fmt.Sprintf("Turbocharger 712345-%04d for engines from 2004 to 2012, new, with gasket kit and "+
			"oil line. Serial K2304-%05d. Every unit is measured on the bench before it leaves our hall, with a printed sheet of the balance run "+
			"in the box. Please send the number of your old plate with the order. Tel. 030 555%04d, desk%d@shop.example", i%9999, i, i%3000, i%3000))
	}
	b.ReportAllocs()
	for b.Loop() {
		Build(in, Options{})
	}
}
