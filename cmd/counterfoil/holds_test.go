package main

import (
	"regexp"
	"slices"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/xuri/excelize/v2"
)

// holds looks into a workbook: `holds FILE SHEET PATTERN` demands a row whose
// cells, joined with tabs, match the regular expression.
func holds(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 3 {
		ts.Fatalf("usage: holds file sheet pattern")
	}
	book, err := excelize.OpenFile(ts.MkAbs(args[0]))
	ts.Check(err)
	defer book.Close()
	pattern, err := regexp.Compile(`(?s)` + args[2])
	ts.Check(err)
	found := false
	if slices.Contains(book.GetSheetList(), args[1]) {
		rows, err := book.GetRows(args[1])
		ts.Check(err)
		found = slices.ContainsFunc(rows, func(row []string) bool { return pattern.MatchString(strings.Join(row, "\t")) })
	}
	if found == neg {
		ts.Fatalf("%s, sheet %s: %q found: %v", args[0], args[1], args[2], found)
	}
}
