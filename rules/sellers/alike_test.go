package sellers

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Winkler 2006, 'Overview of Record Linkage and Current Research Directions',
// table of example pairs: Jaro and Jaro-Winkler.
func TestJaroWinkler(t *testing.T) {
	for _, c := range []struct {
		a, b string
		j, w float64
	}{
		{"SHACKLEFORD", "SHACKELFORD", .970, .982}, {"DUNNINGHAM", "CUNNIGHAM", .896, .896}, {"NICHLESON", "NICHULSON", .926, .956},
		{"JONES", "JOHNSON", .790, .832}, {"MASSEY", "MASSIE", .889, .933}, {"ABROMS", "ABRAMS", .889, .922},
		{"HARDIN", "MARTINEZ", .722, .722}, {"JERALDINE", "GERALDINE", .926, .926}, {"MARHTA", "MARTHA", .944, .961},
		{"MICHELLE", "MICHAEL", .869, .921}, {"JULIES", "JULIUS", .889, .933}, {"TANYA", "TONYA", .867, .880},
		{"DWAYNE", "DUANE", .822, .840}, {"SEAN", "SUSAN", .783, .805}, {"JON", "JOHN", .917, .933}, {"JON", "JAN", .778, .800},
	} {
		a, b := []rune(c.a), []rune(c.b)
		assert.InDelta(t, c.j, jaro(a, b), .0006, c.a)
		assert.InDelta(t, c.w, jaroWinkler(a, b), .0006, c.a)
		assert.InDelta(t, jaro(a, b), jaro(b, a), 1e-12)
	}
	assert.Zero(t, jaro(nil, []rune("A")))
	assert.Zero(t, jaro([]rune("ABC"), []rune("XYZ")))
}

// Common practice, no source: how one operator names several accounts.
func TestNamesAlike(t *testing.T) {
	list := func(names ...string) (in []named) {
		for _, n := range names {
			normal := NormalName(n)
			in = append(in, named{normal: normal, stem: stem(normal), letters: []rune(normal), quotes: []Quote{{Seller: n, Raw: n}}})
		}
		return in
	}
	for _, pair := range [][2]string{{"kettlebrook_24", "Kettlebrook"}, {"kettlebrook-1", "kettlebrook7"}, {"Kettlebrook Shop DE", "kettlebrook store"},
		{"Kettlebrook Turbo", "Ketlebrook Turbo"}, {"kettlebrookturbo", "kettlebrookturbos"}} {
		got := alike(list(pair[0], pair[1]), &wordCounts{})
		if assert.Len(t, got, 1, pair) {
			assert.Len(t, got[0].Quotes, 2)
		}
	}
	for _, pair := range [][2]string{{"Kettlebrook Turbo", "Brookfield Turbo"}, {"user 20391 x", "user 77120 x"}, {"shop 24", "shop 1"}, {"turbo1", "turbo2"}} {
		assert.Empty(t, alike(list(pair[0], pair[1]), &wordCounts{}), pair)
	}
}
