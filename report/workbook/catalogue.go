package workbook

import (
	"strings"

	"counterfoil/rules"
)

var ruleColumns = []column{
	{"Rule id", 26, ident},
	{"Title", 28, strong},
	{"Family", 13, plain},
	{"Weight (dB)", 9, decimal1},
	{"Decisive", 9, plain},
	{"Found", 8, whole},
	{"Not assessed", 10, whole},
	{"What it looks at and why", 62, wrapped},
	{"How an honest listing comes to it", 48, wrapped},
	{"Threshold and source", 56, wrapped},
	{"What to ask", 40, wrapped},
	{"Needs", 34, wrapped},
	{"Most often lacking", 34, wrapped},
	{"Since", 7, ident},
}

// tally counts what one rule came to over the batch.
type tally struct {
	found, open int
	lacks       [1 << 8]int // by need
}

// tallies are those of the rules by their index.
func (b *book) tallies() []tally {
	t, at := make([]tally, len(b.res.Rules)), map[*rules.Rule]int{}
	for i, r := range b.res.Rules {
		at[r] = i
	}
	for _, j := range b.res.Ranked {
		for i := range j.Findings {
			if n, ok := at[j.Findings[i].Rule]; ok {
				t[n].found++
			}
		}
		for _, g := range j.Gaps {
			t[g.Rule].open++
			t[g.Rule].lacks[g.Need]++
		}
	}
	return t
}

// mostLacking is the need that most often kept a rule from being assessed.
func (t *tally) mostLacking() string {
	best := 0
	for n, k := range t.lacks {
		if k > t.lacks[best] {
			best = n
		}
	}
	return rules.Need(best).String()
}

func (b *book) catalogue() task {
	s := b.open(sheetRules, layout{frozen: 2, printed: 9}, ruleColumns,
		"Weights are decibans, 10 log10 of a likelihood ratio, and the project's judgement unless replaced by measured ones. A rule that lacked what it needs is 'not assessed', which is no sign either way.")
	return task{s, func() {
		tallies := b.tallies()
		for i, r := range b.res.Rules {
			needs := make([]string, len(r.Needs))
			for k, n := range r.Needs {
				needs[k] = n.String()
			}
			decisive := ""
			if r.Decisive {
				decisive = "yes"
			}
			weight := r.Weight
			if w, ok := b.res.Facts.Weights[r.ID]; ok {
				weight = w
			}
			t := &tallies[i]
			s.add(r.ID, r.Doc.Title, string(r.Family), weight, decisive, t.found, t.open, r.Doc.Meaning, r.Doc.Innocent, r.Doc.Formula,
				r.Doc.Ask, strings.Join(needs, "; "), t.mostLacking(), r.Doc.Since)
		}
	}, nil}
}
