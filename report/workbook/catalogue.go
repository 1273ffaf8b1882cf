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
	lacks       map[rules.Need]int
}

func (b *book) tallies() map[*rules.Rule]*tally {
	t := make(map[*rules.Rule]*tally, len(b.res.Rules))
	for _, r := range b.res.Rules {
		t[r] = &tally{lacks: map[rules.Need]int{}}
	}
	for _, j := range b.res.Ranked {
		for i := range j.Findings {
			if of := t[j.Findings[i].Rule]; of != nil {
				of.found++
			}
		}
		for _, g := range j.Gaps {
			of := t[b.res.Rules[g.Rule]]
			of.open++
			of.lacks[g.Need]++
		}
	}
	return t
}

// mostLacking is the need that most often kept a rule from being assessed.
func (t *tally) mostLacking() string {
	var best rules.Need
	for n, k := range t.lacks {
		if k > t.lacks[best] || k == t.lacks[best] && n < best {
			best = n
		}
	}
	return best.String()
}

func (b *book) catalogue() task {
	s := b.open(sheetRules, layout{frozen: 2, printed: 9}, ruleColumns,
		"Weights are decibans, 10 log10 of a likelihood ratio, and the project's judgement unless replaced by measured ones. A rule that lacked what it needs is 'not assessed', which is no sign either way.")
	return task{s, func() {
		tallies := b.tallies()
		for _, r := range b.res.Rules {
			needs := make([]string, len(r.Needs))
			for i, n := range r.Needs {
				needs[i] = n.String()
			}
			decisive := ""
			if r.Decisive {
				decisive = "yes"
			}
			weight := r.Weight
			if w, ok := b.res.Facts.Weights[r.ID]; ok {
				weight = w
			}
			t := tallies[r]
			s.add(r.ID, r.Doc.Title, string(r.Family), weight, decisive, t.found, t.open, r.Doc.Meaning, r.Doc.Innocent, r.Doc.Formula,
				r.Doc.Ask, strings.Join(needs, "; "), t.mostLacking(), r.Doc.Since)
		}
	}, nil}
}
