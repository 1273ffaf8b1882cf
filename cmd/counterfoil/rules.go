package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"counterfoil/fixtures"
	"counterfoil/report"
	"counterfoil/rules"
	"counterfoil/rules/userrules"
)

type rulesCmd struct {
	Rule       string `arg:"" optional:"" help:"ID of the rule to print in full."`
	Rules      string `type:"existingfile" placeholder:"FILE" help:"Your own rules, listed with the built-in ones (YAML)."`
	Facts      bool   `xor:"what" help:"List the facts that your own rules may name."`
	Thresholds bool   `xor:"what" help:"List the thresholds that a rules file may change."`
}

func (c *rulesCmd) Run(s *streams) error {
	switch {
	case c.Facts:
		return listFacts(s.out)
	case c.Thresholds:
		return listThresholds(s.out)
	}
	var l loader
	book := load(&l, "rules", c.Rules, rules.ReadRules)
	if err := l.err(); err != nil {
		return err
	}
	list := rules.RulesFor(book)
	if c.Rule == "" {
		return listRules(s.out, list, book)
	}
	if i := slices.IndexFunc(list, func(r *rules.Rule) bool { return r.ID == c.Rule }); i >= 0 {
		return printRule(s.out, list[i])
	}
	if i := slices.Index(rules.IDs(), c.Rule); i >= 0 { // switched off
		return printRule(s.out, rules.All[i])
	}
	return hinted{fmt.Errorf("no rule is called %q", c.Rule), "counterfoil rules lists them"}
}

func listRules(w io.Writer, list []*rules.Rule, book *userrules.Book) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "RULE\tFAMILY\tWEIGHT\tTITLE")
	row := func(r *rules.Rule, notes ...string) {
		title := r.Doc.Title
		if r.Decisive {
			notes = append(notes, "decisive")
		}
		if len(notes) > 0 {
			title += " (" + strings.Join(notes, ", ") + ")"
		}
		fmt.Fprintf(t, "%s\t%s\t%+g dB\t%s\n", r.ID, r.Family, r.Weight, title)
	}
	for _, r := range list {
		if isOwn(r) {
			row(r, "your own")
		} else {
			row(r)
		}
	}
	if book != nil {
		for _, r := range rules.All {
			if slices.Contains(book.Off, r.ID) {
				row(r, "switched off")
			}
		}
	}
	if err := t.Flush(); err != nil {
		return err
	}
	var b strings.Builder
	b.WriteString("\nKnown in the trade and not built:\n")
	for _, n := range rules.NotBuilt {
		b.WriteString(wrap("- "+n.Title+": "+n.Reason, 76, "  "))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// isOwn reports whether a rule is the user's.
func isOwn(r *rules.Rule) bool { return !slices.Contains(rules.IDs(), r.ID) }

// listFacts prints the table of the facts, from which conditions are checked
// as well.
func listFacts(w io.Writer) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "FACT\tTYPE\tUNIT\tMEANING")
	for i := range userrules.Facts {
		f := &userrules.Facts[i]
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\n", f.Name, f.Type, orDash(f.Unit), f.Meaning)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w, "\nFunctions: %s. A rule whose condition names a fact that the input does\nnot show is not assessed.\n", strings.Join(userrules.Functions, ", "))
	return err
}

func listThresholds(w io.Writer) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "THRESHOLD\tDEFAULT\tFROM\tTO\tMEANING")
	number := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	for i := range userrules.ThresholdTable {
		h := &userrules.ThresholdTable[i]
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\n", h.Name, number(h.Default), number(h.Least), number(h.Most), h.Meaning)
	}
	return t.Flush()
}

func orDash(s string) string {
	if s == "" {
		return "-"
	}
	return s
}

func printRule(w io.Writer, r *rules.Rule) error {
	var b strings.Builder
	whose := "default; this project's judgement"
	if isOwn(r) {
		whose = "your own"
	}
	fmt.Fprintf(&b, "%s: %s\n\n", r.ID, r.Doc.Title)
	fmt.Fprintf(&b, "family    %s\nweight    %+g dB (%s)\n", r.Family, r.Weight, whose)
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
	if r.Doc.Measured != "" {
		b.WriteString("\nHow it was measured\n")
		for line := range strings.Lines(r.Doc.Measured + "\n") {
			b.WriteString(strings.TrimRight("  "+line, " \n") + "\n")
		}
	}
	part("Thresholds that a rules file may change", thresholdsOf(r))
	part("Innocent explanation", r.Doc.Innocent)
	part("What to ask", r.Doc.Ask)
	var needs []string
	for _, n := range r.Needs {
		needs = append(needs, n.String())
	}
	part("Not assessed without", strings.Join(needs, "; "))
	part("Example", example(r))
	_, err := io.WriteString(w, b.String())
	return err
}

// thresholdsOf names the thresholds of a rule with their defaults.
func thresholdsOf(r *rules.Rule) string {
	var list []string
	for _, h := range userrules.ThresholdTable {
		if slices.Contains(h.Rules, r.ID) {
			list = append(list, fmt.Sprintf("%s %v", h.Name, h.Default))
		}
	}
	return strings.Join(list, ", ")
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

// example runs the rule's fixtures and gives the first finding with its quotes,
// "" for a user's own rule.
func example(r *rules.Rule) string {
	f, err := fixtures.ReadRule(r.ID)
	if err != nil {
		return ""
	}
	res, err := rules.Audit(context.Background(), f.Listings, rules.Options{Currency: "EUR",
		AsOf:   time.Date(2026, 9, 30, 0, 0, 0, 0, time.UTC),
		Makers: f.Makers, Reference: f.Reference, Rates: f.Rates, Equivalents: f.Equivalents})
	if err != nil {
		return ""
	}
	slices.SortFunc(res.Ranked, func(a, b *rules.Judged) int { return a.N - b.N })
	for _, j := range res.Ranked {
		for _, found := range j.Findings {
			if found.Rule != r {
				continue
			}
			text := found.Statement
			for i, e := range found.Evidence {
				if e.Quote != "" {
					text += fmt.Sprintf(" [%d] %q (%s)", i+1, e.Quote, e.Place)
				}
			}
			return report.Visible(text)
		}
	}
	return ""
}
