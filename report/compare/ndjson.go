package compare

import (
	"encoding/json"
	"fmt"
	"io"

	"counterfoil/parse/listing"
)

type changeLine struct {
	N         int      `json:"n"`
	Kind      Kind     `json:"kind"`
	Attention string   `json:"attention"`
	Statement string   `json:"statement"`
	Innocent  string   `json:"innocent"`
	Part      string   `json:"part,omitempty"`
	Title     string   `json:"title,omitempty"`
	Seller    string   `json:"seller,omitempty"`
	MatchedBy []string `json:"matched_by,omitempty"`
	Match     string   `json:"match,omitempty"`
	Field     string   `json:"field,omitempty"`

	Before *sideLine `json:"before,omitempty"`
	After  *sideLine `json:"after,omitempty"`
	Old    string    `json:"old,omitempty"`
	New    string    `json:"new,omitempty"`

	Amount   string `json:"amount,omitempty"`
	Currency string `json:"currency,omitempty"`
	Percent  string `json:"percent,omitempty"`

	Others   []string       `json:"others,omitempty"`
	Evidence []evidenceLine `json:"evidence"`
}

type sideLine struct {
	Listing    string `json:"listing"`
	File       string `json:"file"`
	Entry      string `json:"entry,omitempty"`
	SHA256     string `json:"sha256"`
	Row        int    `json:"row,omitempty"`
	URL        string `json:"url,omitempty"`
	Seller     string `json:"seller,omitempty"`
	CapturedAt string `json:"captured_at,omitempty"`
	Value      string `json:"value,omitempty"`
}

type evidenceLine struct {
	Side   string `json:"side"`
	File   string `json:"file"`
	SHA256 string `json:"sha256"`
	Place  string `json:"place"`
	Quote  string `json:"quote"`
}

// WriteChanges writes one JSON object a line for each change, in order. The
// package comment documents the keys.
func WriteChanges(w io.Writer, res *Result) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	for i := range res.Changes {
		if err := enc.Encode(lineOf(i+1, &res.Changes[i])); err != nil {
			return err
		}
	}
	return nil
}

func lineOf(n int, c *Change) changeLine {
	l := c.Listing()
	line := changeLine{N: n, Kind: c.Kind, Attention: c.Attention.String(), Statement: c.Statement, Innocent: c.Kind.About().Innocent,
		Part: c.Part, Title: l.Value(listing.Title), Seller: seller(l), MatchedBy: c.Basis, Match: c.Strength,
		Before: sideLineOf(c.Old, c.OldValue), After: sideLineOf(c.New, c.NewValue), Old: c.OldPart, New: c.NewPart,
		Others: c.Others, Evidence: make([]evidenceLine, len(c.Evidence))}
	if c.Field != listing.NoField {
		line.Field = c.Field.String()
	}
	if moved, ok := c.moved(); ok {
		line.Amount, line.Currency, line.Percent = moved.String(), moved.Currency, fmt.Sprintf("%+.1f", 100*c.Moved)
	}
	for i, e := range c.Evidence {
		line.Evidence[i] = evidenceLine{e.Side, e.File, e.SHA256, e.Place, e.Quote}
	}
	return line
}

// moved is the amount by which a price moved in its own currency.
func (c *Change) moved() (listing.Amount, bool) {
	if c.Kind != PriceMoved || c.OldPrice.Currency != c.NewPrice.Currency {
		return listing.Amount{}, false
	}
	return listing.Amount{Minor: c.NewPrice.Minor - c.OldPrice.Minor, Currency: c.NewPrice.Currency}, true
}

func sideLineOf(l *listing.Listing, value string) *sideLine {
	if l == nil {
		return nil
	}
	return &sideLine{Listing: l.Key, File: l.File, Entry: l.Entry, SHA256: l.SHA256, Row: l.Row, URL: l.Value(listing.URL),
		Seller: seller(l), CapturedAt: l.Value(listing.CapturedAt), Value: value}
}
