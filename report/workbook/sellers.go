package workbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
	"counterfoil/rules/sellers"
)

const maxSellers = 50_000

var sellerColumns = []column{
	{"Group", 7, whole},
	{"Sellers", 30, wrapped},
	{"Accounts", 9, whole},
	{"Listings", 9, whole},
	{"Parts", 7, whole},
	{"Highest evidence (dB)", 13, decimal1},
	{"Support in words", 13, wrapped},
	{"Suspected", 10, whole},
	{"Copies told", 9, whole},
	{"Incomplete", 10, whole},
	{"Units claimed", 9, whole},
	{"Marketplaces", 26, wrapped},
	{"What holds the group together", 46, wrapped},
	{"Contacts shown, masked", 32, wrapped},
	{"Best ranks", 22, wrapped},
	{"Parts offered", 40, wrapped},
	{"Accounts, by marketplace and id or name", 44, wrapped},
}

// sellerGroup is what the batch shows of sellers who count as one.
type sellerGroup struct {
	number   int
	key      string
	listings []*rules.Judged // by rank
	accounts []string        // keys, sorted
	parts    []string        // sorted
	units    int
	counts   map[string]int // by outcome
	best     *rules.Judged
}

// groups gathers the sellers of the ranked listings, those with the highest
// evidence first. It is computed once: other sheets name the groups too.
func (b *book) groups() []*sellerGroup {
	b.groupOnce.Do(func() {
		b.groupBy = map[string]*sellerGroup{}
		f := b.res.Facts
		for _, j := range b.res.Ranked {
			if j.N >= len(f.SellerGroups) || f.SellerGroups[j.N] == "" {
				continue
			}
			key := f.SellerGroups[j.N]
			g := b.groupBy[key]
			if g == nil {
				g = &sellerGroup{key: key, counts: map[string]int{}, best: j}
				b.groupBy[key] = g
				b.groupList = append(b.groupList, g)
			}
			g.add(j, f)
		}
		slices.SortStableFunc(b.groupList, func(x, y *sellerGroup) int {
			return cmp.Or(cmp.Compare(y.best.EvidenceDB, x.best.EvidenceDB), cmp.Compare(x.best.Rank, y.best.Rank))
		})
		for i, g := range b.groupList {
			g.number = i + 1
			slices.Sort(g.accounts)
			g.accounts = slices.Compact(g.accounts)
			slices.Sort(g.parts)
			g.parts = slices.Compact(g.parts)
		}
	})
	return b.groupList
}

func (g *sellerGroup) add(j *rules.Judged, f *rules.Facts) {
	g.listings = append(g.listings, j)
	g.accounts = append(g.accounts, f.SellerKeys[j.N])
	if id := f.Parts[j.N].ID; id != "" {
		g.parts = append(g.parts, id)
	}
	if n, ok := j.Listing.Int(listing.QuantityAvailable); ok && n > 0 {
		g.units += min(n, 1e9)
	}
	g.counts[j.Outcome]++
	if j.EvidenceDB > g.best.EvidenceDB {
		g.best = j
	}
}

// groupOf is the group of a listing's seller, nil when no seller was observed.
func (b *book) groupOf(n int) *sellerGroup {
	b.groups()
	if n >= len(b.res.Facts.SellerGroups) {
		return nil
	}
	return b.groupBy[b.res.Facts.SellerGroups[n]]
}

func (b *book) sellers() task {
	all := b.groups()
	shown := all[:min(len(all), maxSellers)]
	intro := "One row for sellers who count as one: accounts that share a rare contact, or that openly carry one name. A shared contact is a reason to look, not a proof: franchises and shared premises have them too."
	if len(all) == 0 {
		intro = "No seller was observed."
	}
	s := b.open(sheetSellers, layout{frozen: 2, printed: 14}, sellerColumns, notes(intro,
		"Evidence belongs to a listing, never to a person: a seller's other listings are not touched by it. Contacts are masked; they are personal data where a seller trades alone.",
		cutNote(len(shown), len(all), "groups"))...)
	return task{s, func() {
		for _, g := range shown {
			b.addGroupOfSellers(s, g)
		}
	}, nil}
}

// manyNames is the number of names, contacts or accounts named in one cell.
const manyNames = 12

func (b *book) addGroupOfSellers(s *sheet, g *sellerGroup) {
	var names, hosts, contacts []string
	for _, key := range g.accounts {
		account, ok := b.res.Facts.Sellers.Seller(key)
		if !ok {
			continue
		}
		names, hosts = append(names, account.Names...), append(hosts, account.Hosts...)
		for _, c := range account.Contacts {
			contacts = append(contacts, string(c.Kind)+" "+sellers.Mask(c.Kind, c.Canonical))
		}
	}
	ranks := make([]int, 0, manyNames)
	for _, j := range g.listings[:min(len(g.listings), manyNames)] {
		ranks = append(ranks, j.Rank)
	}
	best := someRanks(ranks)
	if more := len(g.listings) - len(ranks); more > 0 {
		best += fmt.Sprintf(" and %d more", more)
	}
	s.add(g.number, cmp.Or(some(names), seller(g.best.Listing)), len(g.accounts), len(g.listings), len(g.parts), g.best.EvidenceDB, report.SupportText(g.best),
		countOf(g, rules.DeceptionSuspected), countOf(g, rules.CopyOpenlySold), countOf(g, rules.TooIncomplete), ifAbove0(g.units),
		some(hosts), b.holds(g), some(contacts), best, some(g.parts), some(g.accounts))
}

func countOf(g *sellerGroup, outcome string) any { return ifAbove0(g.counts[outcome]) }

func ifAbove0(n int) any {
	if n == 0 {
		return nil
	}
	return n
}

// some lists distinct texts, sorted, on lines of their own.
func some(list []string) string {
	slices.Sort(list)
	list = slices.Compact(list)
	s := strings.Join(list[:min(len(list), manyNames)], "\n")
	if more := len(list) - manyNames; more > 0 {
		s += fmt.Sprintf("\nand %d more", more)
	}
	return s
}

// holds says which links join the accounts of a group.
func (b *book) holds(g *sellerGroup) string {
	if len(g.accounts) < 2 {
		return ""
	}
	seen := map[string]bool{}
	var lines []string
	for _, key := range g.accounts {
		for _, l := range b.res.Facts.Sellers.SharedContacts(key) {
			if !slices.Contains(g.accounts, l.A) || !slices.Contains(g.accounts, l.B) {
				continue
			}
			line := fmt.Sprintf("%s %s at %s, %s", l.Kind, sellers.Mask(l.Kind, l.Value), report.Plural(l.Sellers, "account"), report.Decibans(l.Weight))
			if !seen[line] {
				seen[line] = true
				lines = append(lines, line)
			}
		}
	}
	if len(lines) == 0 {
		return "the same displayed name"
	}
	if more := len(lines) - manyNames; more > 0 {
		lines = append(lines[:manyNames], fmt.Sprintf("and %d more", more))
	}
	return strings.Join(lines, "\n")
}
