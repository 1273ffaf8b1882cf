package table

import (
	"testing"

	"github.com/hbollon/go-edlib"
	"github.com/stretchr/testify/assert"
)

// Source: Winkler 2006, 'Overview of Record Linkage and Current Research
// Directions', table of comparisons: Jaro and Jaro-Winkler, three decimals,
// recomputed with jellyfish. Column names are compared by the same function.
func TestLikenessOfNamesWinkler2006(t *testing.T) {
	for _, c := range []struct {
		a, b          string
		jaro, winkler float32
	}{
		{"SHACKLEFORD", "SHACKELFORD", .970, .982}, {"DUNNINGHAM", "CUNNIGHAM", .896, .896},
		{"NICHLESON", "NICHULSON", .926, .956}, {"JONES", "JOHNSON", .790, .832},
		{"MASSEY", "MASSIE", .889, .933}, {"ABROMS", "ABRAMS", .889, .922},
		{"HARDIN", "MARTINEZ", .722, .722}, {"JERALDINE", "GERALDINE", .926, .926},
		{"MARHTA", "MARTHA", .944, .961}, {"MICHELLE", "MICHAEL", .869, .921},
		{"JULIES", "JULIUS", .889, .933}, {"TANYA", "TONYA", .867, .880},
		{"DWAYNE", "DUANE", .822, .840}, {"SEAN", "SUSAN", .783, .805},
		{"JON", "JOHN", .917, .933}, {"JON", "JAN", .778, .800},
	} {
		assert.InDelta(t, c.jaro, edlib.JaroSimilarity(c.a, c.b), .0006, "Jaro %s %s", c.a, c.b)
		assert.InDelta(t, c.winkler, edlib.JaroWinklerSimilarity(c.a, c.b), .0006, "Jaro-Winkler %s %s", c.a, c.b)
	}
}
