package sellers

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// market makes accounts a, b, c, ... that show nothing, and strangers, and links
// them by the values.
func market(accounts int, values ...Value) *Network {
	var in []Account
	for i := range accounts + 60 {
		a := Account{Listing: i, ID: string(rune('a' + i)), Host: "m"}
		if i >= accounts {
			a.ID = fmt.Sprint("z", i)
		}
		in = append(in, a)
	}
	return Build(in, Options{}).Network(values)
}

// value is shared by accounts named by their letters.
func value(kind Kind, text, accounts string) Value {
	v := Value{Kind: kind, Text: text}
	for i, a := range accounts {
		v.Quotes = append(v.Quotes, Quote{Seller: "m/" + string(a), Listing: i})
	}
	return v
}

func groupsOf(n *Network) (list []string) {
	for _, g := range n.Groups() {
		s := ""
		for _, m := range g.Members {
			s += m[2:]
		}
		list = append(list, s)
	}
	return list
}

// The weights of pairs: text 5, place 3, name 8 decibans, camera 20, telephone
// some 40; a text and a place make no pair, with a device's 5 they do. Every
// expectation follows by hand from the formula of support.
func TestChainsEnd(t *testing.T) {
	// Each shares a text, a place and a model of camera with the next, and nothing
	// with the others. All pairs weigh 13.
	var chain []Value
	for i, two := range []string{"ab", "bc", "cd", "de", "ef", "fg", "gh", "hi", "ij", "jk", "kl", "lm", "mn", "no", "op", "pq", "qr", "rs", "st", "tu"} {
		chain = append(chain, value(SameText, fmt.Sprint("text ", i), two), value(Place, fmt.Sprint("town ", i), two), value(SameDevice, fmt.Sprint("model ", i), two))
	}
	n := market(21, chain...)
	for _, g := range n.Groups() {
		// 13 + 3 x 10 log10(1/8/.15) = 10.6 takes in a ninth, 9.1 no tenth.
		assert.LessOrEqual(t, len(g.Members), 9, "a chain of 21 in one group")
	}
	near := 0
	for _, g := range n.Groups() {
		near += len(g.Near)
	}
	assert.Positive(t, near, "what was cut is told")

	// The same things at all of them hold a group of eight, the most that is no hub.
	assert.Equal(t, []string{"abcdefgh"}, groupsOf(market(8, value(SameText, "text", "abcdefgh"), value(Place, "town", "abcdefgh"), value(SameDevice, "model", "abcdefgh"))))

	// Two groups of four with a telephone each, joined by one pair: 13 decibans of
	// one pair of sixteen are 10 log10(1/16/.15) = -3.8 a kind, 1.2 + 0 + 1.2 are
	// left. A telephone in common, 38 less 3.8, is enough.
	two := []Value{value(Phone, "+491", "abcd"), value(Phone, "+492", "efgh")}
	assert.Equal(t, []string{"abcd", "efgh"}, groupsOf(market(8, append(two, value(SameText, "text", "de"), value(Place, "town", "de"), value(SameDevice, "model", "de"))...)))
	assert.Equal(t, []string{"abcdefgh"}, groupsOf(market(8, append(two, value(Phone, "+493", "de"))...)))
	// So is what most of them share, though no two are a strong pair by it.
	assert.Equal(t, []string{"abcdefgh"}, groupsOf(market(8, append(two, value(SameText, "text", "acef"), value(SameSerial, "serial", "bdgh"), value(Place, "town", "abcdefgh"))...)))
}

// What can be copied from one page makes no group; what must have been copied
// from three and more accounts of a group does.
func TestCopiedFromSeveral(t *testing.T) {
	group := []Value{value(Phone, "+491", "abcd")}
	from := func(accounts string) (list []Value) {
		for i, a := range accounts {
			list = append(list, value(SamePhoto, fmt.Sprint("picture ", i), string(a)+"e"), value(SameText, fmt.Sprint("text ", i), string(a)+"e"))
		}
		return append(list, group...)
	}
	assert.Equal(t, []string{"abcd"}, groupsOf(market(5, from("aaaa")...)))
	assert.Equal(t, []string{"abcd"}, groupsOf(market(5, from("aabb")...)))
	assert.Equal(t, []string{"abcde"}, groupsOf(market(5, from("abcd")...)))
}

// A text at ten accounts is common property, unless most of them are one
// operator's by other things.
func TestOwnersCountOnce(t *testing.T) {
	text, town := value(SameText, "text", "abcdefghij"), value(Place, "town", "ghij")
	common := market(10, text, town)
	assert.Empty(t, common.Groups())
	require.Len(t, common.Hubs(), 1)
	assert.True(t, common.Links()[0].Common)

	own := market(10, text, town, value(Phone, "+491", "abcdef"), value(SameDevice, "model", "efgj"))
	assert.Empty(t, own.Hubs())
	for _, l := range own.Links() {
		assert.False(t, l.Common)
	}
}

// Names of words that many names have are come by easily.
func TestNamesByTheirWords(t *testing.T) {
	var in []Account
	name := func(id, name string) {
		in = append(in, Account{Listing: len(in), ID: id, Host: "m", Name: name})
	}
	for i := range 200 {
		first := []string{"Turbo", "Diesel", "Motor", "Auto"}[i%4]
		second := []string{"Parts", "Point", "World", "Depot", "House"}[i%5]
		name(fmt.Sprint("s", i), fmt.Sprint(first, " ", second, " ", string(rune('k'+i%13)), "ex", i/20))
	}
	name("x1", "Turbo Parts")
	name("x2", "turbo-parts 24")
	name("x3", "turboparts")
	name("y1", "Kettlebrook")
	name("y2", "kettlebrook_24")
	weight := map[string]float64{}
	for _, l := range Build(in, Options{}).Network(nil).Links() {
		if l.Kind == NameAlike {
			weight[l.Value] = l.Weight
		}
	}
	assert.Equal(t, 1.0, weight["turboparts"])
	// 205 accounts: of strangers 205 x .1/305 come by a word that no other name has:
	// 10 log10(.5 / .0672) = 8.7, held at 8.
	assert.Equal(t, 8.0, weight["kettlebrook"])
}
