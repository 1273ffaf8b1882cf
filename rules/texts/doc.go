// Package texts finds near-duplicate descriptions in a batch, once for all
// rules.
//
// fold.go turns a text into a set of shingles, boilerplate.go takes out what
// many sellers use, sketch.go (one-permutation MinHash) and group.go
// (locality-sensitive hashing, exact check, medoids) find the groups, passage.go
// quotes what two texts share, rare.go looks for misspellings that only a few
// sellers share.
//
// A text is folded (NFKC, lower case) and every word with a digit in it, and any
// number of them in a row, becomes one class token: the same template filled in
// with another part number or serial is still near. Three words in a row make a
// shingle; texts of fewer than 20 words, and texts in scripts without word
// spaces, are cut into runs of 5 characters instead. The two kinds are not
// compared with each other; texts of 20 to 24 words are cut both ways, so that
// near-copies around the bound meet. Texts with fewer than [MinShingles] shingles
// of their own are not compared at all.
//
// Near-duplicate text is no proof of a common operator: distributors' feeds and
// makers' catalogue texts are copied by honest sellers.
package texts
