package sellers

import (
	"slices"
)

// From how many decibans on two sellers count as one group depends on how alike
// strangers are in a market: where few share templates, pictures and places, less
// is enough. The rule of Fellegi and Sunter (1969) bounds the share of strangers
// among the pairs that are linked; how many pairs are strangers is estimated as
// Winkler (1988, 'Using the EM Algorithm for Weight Computation in the
// Fellegi-Sunter Model of Record Linkage') does, by a latent class of pairs of one
// operator and one of strangers in which the families of links are independent.
const (
	strongMost   = 10.0 // where nothing is known of the market: 'moderate' on the ENFSI scale
	strongLeast  = 9.0  // above weak: what never makes a group alone stays below it
	strongStep   = 0.5
	mostStranger = 0.1 // share of the strong pairs that may be strangers
	leastMarket  = 100 // accounts from which the market is looked at
	leastPairs   = 30  // strong pairs from which on their shares tell something
	emRounds     = 200
)

// levels are what a family of links may weigh for two sellers, in decibans: the
// least of each level above none.
var levels = [...]float64{0, 3.5, 6, 9, 12}

const levelCount = len(levels) + 1

// pattern is the level of each family for two sellers.
type pattern [families]uint8

func patternOf(s *sums) (p pattern) {
	for f, w := range s {
		for w > 0 && int(p[f]) < len(levels) && (p[f] == 0 || w >= levels[p[f]]) {
			p[f]++
		}
	}
	return p
}

// likely is a pair that some threshold makes strong.
type likely struct {
	pattern pattern
	sums    sums
}

// Bar says what joins accounts of one market.
type Bar struct {
	Strong    float64 // decibans from which on two accounts count as one group
	Estimated bool    // false where the market is too small to tell
	Strangers float64 // estimated share of strangers among such pairs
	Crowded   bool    // that is more than it should be, even at 10 decibans
}

// barOf takes the least weight in steps from strongLeast to strongMost from which
// on at most mostStranger of the pairs are estimated to be strangers.
func barOf(spans []span, accounts int) Bar {
	if accounts < leastMarket {
		return Bar{Strong: strongMost}
	}
	counts := map[pattern]float64{}
	var list []likely
	var t tally
	for i := range spans {
		t.clear()
		for k := range spans[i].bonds {
			t.add(&spans[i].bonds[k])
		}
		s := t.withCommon(t.sums(strongMost))
		p := patternOf(&s)
		counts[p]++
		if s.all() >= strongLeast {
			list = append(list, likely{p, s})
		}
	}
	n := float64(accounts)
	counts[pattern{}] += n*(n-1)/2 - float64(len(spans))
	model := fit(counts, 1/n)
	b := Bar{Strong: strongLeast}
	for ; ; b.Strong += strongStep {
		share, pairs := model.strangers(list, b.Strong)
		if pairs < leastPairs {
			return Bar{Strong: strongMost}
		}
		b.Estimated, b.Strangers, b.Crowded = true, share, share > mostStranger
		if !b.Crowded || b.Strong >= strongMost {
			return b
		}
	}
}

// latent is the two classes of pairs: how many of all are of one operator, and
// how often each level of each family occurs in either class.
type latent struct {
	share float64
	one   [families][levelCount]float64
	other [families][levelCount]float64
}

// posterior is the chance that a pair of this pattern is of one operator.
func (m *latent) posterior(p *pattern) float64 {
	one, other := m.share, 1-m.share
	for f, l := range p {
		one *= m.one[f][l]
		other *= m.other[f][l]
	}
	return one / (one + other)
}

// fit estimates the classes by expectation and maximisation, from a share of
// pairs of one operator and from classes in which these share much and strangers
// little.
func fit(counts map[pattern]float64, share float64) *latent {
	seen := make([]pattern, 0, len(counts))
	for p := range counts {
		seen = append(seen, p)
	}
	slices.SortFunc(seen, func(a, b pattern) int { return slices.Compare(a[:], b[:]) })
	m := &latent{share: share}
	for f := range families {
		for l := range levelCount {
			m.one[f][l], m.other[f][l] = .5/float64(levelCount-1), .005/float64(levelCount-1)
		}
		m.one[f][0], m.other[f][0] = .5, .995
	}
	for range emRounds {
		var next latent
		var one, other float64
		for i := range seen {
			p, n := &seen[i], counts[seen[i]]
			k := n * m.posterior(p)
			one, other = one+k, other+n-k
			for f, l := range p {
				next.one[f][l] += k
				next.other[f][l] += n - k
			}
		}
		const unseen = 0.1 // pairs of each level that either class is thought to have besides
		for f := range families {
			for l := range levelCount {
				next.one[f][l] = (next.one[f][l] + unseen) / (one + unseen*float64(levelCount))
				next.other[f][l] = (next.other[f][l] + unseen) / (other + unseen*float64(levelCount))
			}
		}
		next.share = one / (one + other)
		moved := max(next.share, m.share) / min(next.share, m.share)
		if *m = next; moved < 1+1e-6 {
			break
		}
	}
	return m
}

// strangers is the share of strangers among the pairs that a threshold makes
// strong, and the number of these.
func (m *latent) strangers(list []likely, strong float64) (share, pairs float64) {
	for i := range list {
		s := list[i].sums
		s[material] = min(s[material], copyable(strong))
		if s.all() >= strong {
			share += 1 - m.posterior(&list[i].pattern)
			pairs++
		}
	}
	return share / max(1, pairs), pairs
}
