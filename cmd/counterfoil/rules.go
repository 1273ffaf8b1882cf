package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"counterfoil/rules"
)

type rulesCmd struct {
	Rule string `arg:"" optional:"" help:"ID of the rule to print in full."`
}

func (c *rulesCmd) Run(s *streams) error {
	if c.Rule == "" {
		return listRules(s.out)
	}
	i := slices.IndexFunc(rules.All, func(r *rules.Rule) bool { return r.ID == c.Rule })
	if i < 0 {
		return hinted{fmt.Errorf("no rule is called %q", c.Rule), "counterfoil rules lists them"}
	}
	return printRule(s.out, rules.All[i])
}

func listRules(w io.Writer) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "RULE\tFAMILY\tWEIGHT\tTITLE")
	for _, r := range rules.All {
		title := r.Doc.Title
		if r.Decisive {
			title += " (decisive)"
		}
		fmt.Fprintf(t, "%s\t%s\t%+g dB\t%s\n", r.ID, r.Family, r.Weight, title)
	}
	return t.Flush()
}

func printRule(w io.Writer, r *rules.Rule) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n\n", r.ID, r.Doc.Title)
	fmt.Fprintf(&b, "family    %s\nweight    %+g dB (default; this project's judgement)\n", r.Family, r.Weight)
	if r.Decisive {
		b.WriteString("decisive  at full strength it may carry the word 'strong' alone\n")
	}
	part := func(heading, text string) {
		if text != "" {
			fmt.Fprintf(&b, "\n%s\n%s", heading, wrap(text, 76, "  "))
		}
	}
	part("What it means", r.Doc.Meaning)
	part("How it is reckoned", r.Doc.Formula)
	part("Innocent explanation", r.Doc.Innocent)
	part("What to ask", r.Doc.Ask)
	var needs []string
	for _, n := range r.Needs {
		needs = append(needs, n.String())
	}
	part("Not assessed without", strings.Join(needs, "; "))
	_, err := io.WriteString(w, b.String())
	return err
}

// wrap breaks text at blanks into lines of at most width columns.
func wrap(text string, width int, indent string) string {
	var b strings.Builder
	column := 0
	for _, word := range strings.Fields(text) {
		switch {
		case column == 0:
			b.WriteString(indent)
			column = len(indent)
		case column+1+len(word) > width:
			b.WriteString("\n" + indent)
			column = len(indent)
		default:
			b.WriteByte(' ')
			column++
		}
		b.WriteString(word)
		column += len(word)
	}
	b.WriteByte('\n')
	return b.String()
}
