// Package rules says what stands against and for each listing of a batch.
//
// A rule is one value in a file of its own: what it means, what it needs, what
// it weighs, its innocent explanation, what to ask the seller, and a function
// that reads one listing with the facts shared by the whole batch. A rule
// opens nothing and remembers nothing. all.go lists the rules; facts.go
// computes the shared facts, each in its own package below this one; weigh.go
// adds the findings up; rank.go puts the listings in order.
//
// Nothing here says that a part is counterfeit, genuine or safe. The rules
// give reasons to look, a person decides.
package rules
