package workbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

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
	{"If it fell, who would leave", 36, wrapped},
	{"How strangers come to it", 46, wrapped},
	{"Contacts shown, masked", 32, wrapped},
	{"Best ranks", 22, wrapped},
	{"Parts offered", 40, wrapped},
	{"Accounts, by marketplace and id or name", 44, wrapped},
}

// groups are the sellers of the ranked listings. Other sheets name the groups too.
func (b *book) groups() []*report.SellerGroup {
	b.groupOnce.Do(func() {
		if b.opt.Groups == nil {
			b.opt.Groups = report.SellerGroups(b.res)
		}
		b.groupBy = make(map[string]*report.SellerGroup, len(b.opt.Groups))
		for _, g := range b.opt.Groups {
			b.groupBy[g.Key] = g
		}
	})
	return b.opt.Groups
}

// groupOf is the group of a listing's seller, nil when no seller was observed.
func (b *book) groupOf(n int) *report.SellerGroup {
	b.groups()
	if n >= len(b.res.Facts.Operators) {
		return nil
	}
	return b.groupBy[b.res.Facts.Operators[n]]
}

func (b *book) sellers() task {
	all := b.groups()
	shown := all[:min(len(all), maxSellers)]
	intro := "One row for accounts that one operator may stand behind: what they share weighs at least " + report.Decibans(b.res.Facts.Network.Bar().Strong) + " together, or they openly carry one name. A link is a reason to look, not a proof: franchises, shared premises, feeds and stolen pictures link strangers too."
	if len(all) == 0 {
		intro = "No seller was observed."
	}
	s := b.open(sheetSellers, layout{frozen: 2, printed: 15}, sellerColumns, notes(intro,
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

func (b *book) addGroupOfSellers(s *sheet, g *report.SellerGroup) {
	var names, hosts, contacts []string
	for _, key := range g.Accounts {
		account, ok := b.res.Facts.Sellers.Seller(key)
		if !ok {
			continue
		}
		names, hosts = append(names, account.Names...), append(hosts, account.Hosts...)
		for _, c := range account.Contacts {
			contacts = append(contacts, report.LinkKind(c.Kind)+" "+report.LinkValue(c.Kind, c.Canonical, b.run.MaskAll))
		}
	}
	ranks := make([]int, 0, manyNames)
	for _, j := range g.Listings[:min(len(g.Listings), manyNames)] {
		ranks = append(ranks, j.Rank)
	}
	best := someRanks(ranks)
	if more := len(g.Listings) - len(ranks); more > 0 {
		best += fmt.Sprintf(" and %d more", more)
	}
	holds, leave, innocent := b.holds(g)
	s.add(g.Number, cmp.Or(some(names), seller(g.Best.Listing)), len(g.Accounts), len(g.Listings), len(g.Parts), g.Best.EvidenceDB, report.SupportText(g.Best),
		countOf(g, rules.DeceptionSuspected), countOf(g, rules.CopyOpenlySold), countOf(g, rules.TooIncomplete), ifAbove0(g.Units),
		some(hosts), holds, leave, innocent, some(contacts), best, some(g.Parts), some(g.Accounts))
	if b.opt.GroupPage != nil && len(s.links)+1 < maxLinks {
		if page := b.opt.GroupPage(g.Number); page != "" {
			s.linkTo(1, page, "External")
		}
	}
}

func countOf(g *report.SellerGroup, outcome string) any { return ifAbove0(g.Counts[outcome]) }

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

// holdLines is the number of values named as holding a group.
const holdLines = 6

// holds says what joins the accounts of a group, who would leave it if one of
// those fell, and how strangers come to share that.
func (b *book) holds(g *report.SellerGroup) (holds, leave, innocent string) {
	if len(g.Accounts) < 2 {
		return "", "", ""
	}
	seen, kinds := map[string]bool{}, map[sellers.Kind]bool{}
	var lines, leaving []string
	more := 0
	for _, key := range g.Accounts {
		part := b.res.Facts.Network.Group(key)
		if part == nil || seen[part.Key] {
			continue
		}
		seen[part.Key] = true
		for _, h := range part.Holds {
			kinds[h.Kind] = true
			if len(lines) == holdLines {
				more++
				continue
			}
			value := report.LinkValue(h.Kind, h.Value, b.run.MaskAll)
			if h.Kind == sellers.SamePrices || h.Kind == sellers.PriceRule {
				value, _, _ = strings.Cut(value, ", ")
			}
			lines = append(lines, fmt.Sprintf("%s %s: %s, %s", report.LinkKind(h.Kind), value, report.Plural(h.Pairs, "pair"), report.Decibans(h.Weight)))
			if len(h.Leave) > 0 {
				leaving = append(leaving, fmt.Sprintf("%s: %s with %s", report.LinkKind(h.Kind), report.Plural(len(h.Leave), "account"), report.Plural(b.listingsOf(g, h.Leave), "listing")))
			}
		}
	}
	if more > 0 {
		lines = append(lines, fmt.Sprintf("and %d more", more))
	}
	if len(lines) == 0 {
		return "the same displayed name", "all others", "One trader who openly offers under one name in several places."
	}
	return strings.Join(lines, "\n"), cmp.Or(strings.Join(leaving, "\n"), "nobody: no single link holds it"),
		strings.Join(report.LinkInnocent(func(k sellers.Kind) bool { return kinds[k] }), "\n")
}

// listingsOf counts the listings of some accounts of a group.
func (b *book) listingsOf(g *report.SellerGroup, accounts []string) (n int) {
	for _, j := range g.Listings {
		if slices.Contains(accounts, b.res.Facts.SellerKeys[j.N]) {
			n++
		}
	}
	return n
}
