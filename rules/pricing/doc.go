// Package pricing finds patterns of prices over a batch, once for all rules:
// one odd price at many sellers (odd.go), and one discount over all that a
// seller offers (uniform.go).
//
// Neither says anything of a part. Price lists are shared and repriced by rule
// by honest sellers too.
package pricing
