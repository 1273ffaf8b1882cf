package table

import (
	"fmt"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/parse/money"
	"counterfoil/parse/values"
)

// column is a column in use.
type column struct {
	index  int
	name   listing.Name
	header string
	hints  values.Hints
	// Of a price column: tax basis and currency that the header states.
	tax      string
	currency string
}

// learn looks at a table's first rows for what a single cell leaves open: the
// decimal mark of a column of sums, the order of day and month in a column of
// dates, whether a column of feedback holds shares or numbers of ratings. A column that shows both ways teaches nothing.
func (t *tableReader) learn(rows []record) {
	for i := range t.plan {
		c := &t.plan[i]
		c.hints = t.opt.Hints
		switch c.name {
		case listing.Price, listing.Shipping, listing.CoreDeposit, listing.PriceWas:
			t.learnSum(c, rows)
		case listing.CapturedAt, listing.SellerSince:
			t.learnDate(c, rows)
		case listing.SellerFeedback, listing.SellerFeedbackCount:
			t.learnFeedback(c, rows)
		}
	}
}

func (t *tableReader) learnSum(c *column, rows []record) {
	code, _, _ := money.Currency(headerCurrency(c.header), money.Hints{})
	if code != "" {
		c.hints.Currency, c.currency = code, code
		t.learned(c, "the header names "+code)
	}
	if c.name == listing.Price {
		if p, err := money.Parse("1 "+c.header, money.Hints{}); err == nil && p.Tax != "" {
			c.tax = p.Tax
			t.learned(c, "the header says tax "+p.Tax)
		}
	}
	points, commas := 0, 0
	for _, r := range rows {
		switch money.Mark(r.cells[c.index]) {
		case '.':
			points++
		case ',':
			commas++
		}
	}
	switch {
	case points > 0 && commas > 0:
		t.learned(c, fmt.Sprintf("decimal point in %d cells, decimal comma in %d: each cell for itself", points, commas))
	case points > 0:
		c.hints.DecimalMark = '.'
		t.learned(c, fmt.Sprintf("decimal point, seen in %d cells", points))
	case commas > 0:
		c.hints.DecimalMark = ','
		t.learned(c, fmt.Sprintf("decimal comma, seen in %d cells", commas))
	}
}

// headerCurrency makes a code in small letters, as in "price_eur", readable.
func headerCurrency(header string) string {
	return strings.ToUpper(strings.Join(strings.FieldsFunc(header, func(r rune) bool {
		return strings.ContainsRune(" _-()[]./", r)
	}), " "))
}

func (t *tableReader) learnDate(c *column, rows []record) {
	days, months := 0, 0
	for _, r := range rows {
		switch values.OrderOf(r.cells[c.index]) {
		case values.DayFirst:
			days++
		case values.MonthFirst:
			months++
		}
	}
	switch {
	case days > 0 && months > 0:
		t.learned(c, fmt.Sprintf("day first in %d cells, month first in %d: each cell for itself", days, months))
	case days > 0:
		c.hints.DateOrder = values.DayFirst
		t.learned(c, fmt.Sprintf("day first, seen in %d cells", days))
	case months > 0:
		c.hints.DateOrder = values.MonthFirst
		t.learned(c, fmt.Sprintf("month first, seen in %d cells", months))
	}
}

func (t *tableReader) learned(c *column, text string) {
	m := &t.columns[c.index]
	if m.Learned != "" {
		m.Learned += "; "
	}
	m.Learned += text
}

// learnFeedback tells shares of good ratings from numbers of ratings: both go
// by the name of feedback, and only a number can be over 100.
func (t *tableReader) learnFeedback(c *column, rows []record) {
	shares, numbers := 0, 0
	for _, r := range rows {
		cell := r.cells[c.index]
		if n, ok := values.CountedRatings(cell); ok && n > 100 {
			numbers++
		} else if strings.Contains(cell, "%") {
			shares++
		}
	}
	switch {
	case numbers > 0:
		c.hints.RatingsCounted = true
		t.learned(c, fmt.Sprintf("plain numbers are numbers of ratings: over 100 in %d cells", numbers))
	case shares > 0 && c.name == listing.SellerFeedbackCount && !t.has(listing.SellerFeedback):
		c.name = listing.SellerFeedback
		t.columns[c.index].Field = c.name
		t.learned(c, fmt.Sprintf("shares of good ratings, seen in %d cells", shares))
	}
}

func (t *tableReader) has(n listing.Name) bool {
	return slices.ContainsFunc(t.plan, func(c column) bool { return c.name == n })
}
