// Package dossier writes pages of what a casebook knows: for each part on a
// marketplace its prices over time, for each seller everything that was seen of
// him. The pages need no script and no network, and print. The plot of a price
// page says nothing that its table does not say.
//
// The files: dossier.go the set of pages, prices.go the history of prices and its
// plot, pages.html the markup.
package dossier

import (
	"cmp"
	"embed"
	"fmt"
	"html/template"
	"io"
	"maps"
	"regexp"
	"slices"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

// Part is a part on a marketplace with all that was seen of it.
type Part struct {
	Market, Part string
	States       []rules.Earlier
}

// Seller is what is known of a seller.
type Seller struct {
	Key, Shown string
	Contacts   int // kept as hashes
	States     []rules.Earlier
	Shared     []Shared
	Cases      []rules.Case
	Notes      []Note
	Findings   map[string]int // states by rule
}

// Shared is something in common with another seller.
type Shared struct {
	What, Which, With, Shown string
	N                        int
}

// Note is a person's decision.
type Note struct {
	Listing, Word, Note string
	At                  time.Time
}

// Set is what is written.
type Set struct {
	Version, Casebook string
	Runs              []time.Time // oldest first
	Parts             []Part
	Sellers           []Seller
	Left              string // what was left out, in words; "" for nothing
}

// Until is the day of the last run, "" without one.
func (s *Set) Until() string {
	if len(s.Runs) == 0 {
		return ""
	}
	return s.Runs[len(s.Runs)-1].UTC().Format(time.DateOnly)
}

//go:embed pages.html
var markup embed.FS

var pages = template.Must(template.New("").Funcs(template.FuncMap{
	"text": func(s string) string { return report.Visible(s) },
	"day":  func(t time.Time) string { return t.UTC().Format(time.DateOnly) },
	"name": func(shown, key string) string { return report.Visible(cmp.Or(shown, key)) },
	"part": partFile, "seller": sellerFile,
	"plural": report.Plural,
}).ParseFS(markup, "pages.html"))

func partFile(n int) string   { return fmt.Sprintf("part-%04d.html", n+1) }
func sellerFile(n int) string { return fmt.Sprintf("seller-%04d.html", n+1) }

// stale lists the pages of an earlier set in a folder that this one does not
// have. They may hold what was forgotten since.
func (s *Set) stale(dir string, files []report.File) (list []report.File) {
	for _, name := range report.LeftPages(dir, "", pageName, mark) {
		if !slices.ContainsFunc(files, func(f report.File) bool { return f.Name == name }) {
			list = append(list, report.File{Name: name})
		}
	}
	return list
}

// mark is in the head of every page of this package.
const mark = `content="counterfoil casebook pages"`

var pageName = regexp.MustCompile(`^(?:part|seller)-\d{4,9}\.html$`)

// Files are the pages, for [report.Write] into dir. Pages that an earlier set left
// there go. The same set gives the same bytes.
func (s *Set) Files(dir string) []report.File {
	write := func(name string, view any) func(io.Writer) error {
		return func(w io.Writer) error { return pages.ExecuteTemplate(w, name, view) }
	}
	var files []report.File
	for i := range s.Parts {
		files = append(files, report.File{Name: partFile(i), Write: func(w io.Writer) error { return write("part", s.partView(&s.Parts[i]))(w) }})
	}
	for i := range s.Sellers {
		files = append(files, report.File{Name: sellerFile(i), Write: func(w io.Writer) error { return write("trader", s.sellerView(&s.Sellers[i]))(w) }})
	}
	files = append(files, s.stale(dir, files)...)
	return append(files, report.File{Name: "index.html", Write: write("index", s)})
}

// offerRow is a listing's state as a row of a table.
type offerRow struct {
	*rules.Earlier
	Price, Serials string
	Changed        string // what differs from the state before
}

type sellerView struct {
	*Set
	*Seller
	Listings    int
	First, Last time.Time
	Offers      []offerRow
	Cut         int // rows left out
	Rules       []ruleCount
}

type ruleCount struct {
	ID, Title string
	N         int
}

// most bounds the rows of a table.
const most = 2000

func (s *Set) sellerView(t *Seller) sellerView {
	v := sellerView{Set: s, Seller: t}
	var before *rules.Earlier
	for i := range t.States {
		e := &t.States[i]
		row := offerRow{Earlier: e, Price: priceOf(e)}
		for k, sn := range e.Serials {
			if k > 0 {
				row.Serials += ", "
			}
			row.Serials += sn.Serial
		}
		if before == nil || before.Key != e.Key {
			v.Listings++
		} else {
			row.Changed = changed(before, e)
		}
		before = e
		if v.First.IsZero() || e.First.Before(v.First) {
			v.First = e.First
		}
		if e.Last.After(v.Last) {
			v.Last = e.Last
		}
		if len(v.Offers) < most {
			v.Offers = append(v.Offers, row)
		} else {
			v.Cut++
		}
	}
	for _, id := range slices.Sorted(maps.Keys(t.Findings)) {
		c := ruleCount{ID: id, Title: id, N: t.Findings[id]}
		for _, r := range rules.All {
			if r.ID == id {
				c.Title = r.Doc.Title
			}
		}
		v.Rules = append(v.Rules, c)
	}
	slices.SortStableFunc(v.Rules, func(a, b ruleCount) int { return cmp.Compare(b.N, a.N) })
	return v
}

func priceOf(e *rules.Earlier) string {
	if e.Price.Minor <= 0 {
		return "no fixed price"
	}
	s := rules.Money(e.Price)
	if e.Lot > 1 {
		s += fmt.Sprintf(" for %d", e.Lot)
	}
	return s
}

// changed names what two states of a listing differ in.
func changed(a, b *rules.Earlier) string {
	s := ""
	for _, d := range []struct {
		differs bool
		what    string
	}{
		{a.Price != b.Price, "price"}, {a.Shipping != b.Shipping, "shipping"}, {a.Title != b.Title, "title"}, {a.Claim != b.Claim, "claim"},
		{a.Condition != b.Condition, "condition"}, {a.Part != b.Part, "part"}, {a.Quantity != b.Quantity || a.State != b.State, "stock"},
		{!slices.Equal(a.Serials, b.Serials), "serial"}, {a.Text.Hash != b.Text.Hash, "description"},
		{!slices.EqualFunc(a.Photos, b.Photos, func(p, q rules.Print) bool { return p.SHA256 == q.SHA256 }), "photos"}, {a.Seller != b.Seller, "seller"},
	} {
		if d.differs {
			if s != "" {
				s += ", "
			}
			s += d.what
		}
	}
	return s
}

// unitPrice is the price of one unit, 0 without one.
func unitPrice(e *rules.Earlier) listing.Amount {
	a := e.Price
	if e.Lot > 1 {
		a.Minor = (a.Minor + int64(e.Lot)/2) / int64(e.Lot)
	}
	return a
}
