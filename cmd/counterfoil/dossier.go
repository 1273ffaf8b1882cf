package main

import (
	"fmt"
	"time"

	"counterfoil/report"
	"counterfoil/report/dossier"
	"counterfoil/rules/history"
)

// bookPages writes pages of what the casebook knows.
type bookPages struct {
	Part   string `placeholder:"NUMBER" help:"Only the prices of this part, as the reports name it."`
	Seller string `placeholder:"SELLER" help:"Only this seller, by displayed name, id or key."`
	Out    string `placeholder:"DIR" default:"counterfoil-casebook" help:"Folder for the pages (default: ./counterfoil-casebook)."`
	Most   int    `placeholder:"N" default:"200" help:"At most so many parts and so many sellers, those with most listings first (default: 200)."`
}

// Run writes the pages.
func (c bookPages) Run(s *streams, f bookFile) error {
	if c.Most < 1 || c.Most > 5000 {
		return fmt.Errorf("--most: %d is not between 1 and 5000", c.Most)
	}
	set := &dossier.Set{Version: version, Casebook: string(f)}
	err := f.look(s, func(b *history.Book) error {
		runs, err := b.Runs()
		if err != nil {
			return err
		}
		for _, r := range runs {
			set.Runs = append(set.Runs, r.At)
		}
		if c.Seller == "" || c.Part != "" {
			if err := c.parts(b, set); err != nil {
				return err
			}
		}
		if c.Part == "" || c.Seller != "" {
			return c.sellers(b, set)
		}
		return nil
	})
	if err != nil {
		return err
	}
	if err := report.WriteContext(s.ctx, c.Out, set.Files(c.Out)...); err != nil {
		return err
	}
	sweep(s.err, c.Out)
	_, err = fmt.Fprintf(s.out, "%s and %s in %s\n", report.Plural(len(set.Parts), "price page"), report.Plural(len(set.Sellers), "seller page"), report.Visible(c.Out))
	return err
}

func (c bookPages) parts(b *history.Book, set *dossier.Set) error {
	places, err := b.Places(c.Part, c.Most+1)
	if err != nil {
		return err
	}
	if c.Part != "" && len(places) == 0 {
		return hinted{fmt.Errorf("the casebook has no part %q", c.Part), "write it as the reports do; nothing was written"}
	}
	if len(places) > c.Most {
		places, set.Left = places[:c.Most], fmt.Sprintf("Only the %d with most listings are shown; --most changes that.", c.Most)
	}
	for _, p := range places {
		states, err := b.At(p)
		if err != nil {
			return err
		}
		set.Parts = append(set.Parts, dossier.Part{Market: p.Market, Part: p.Part, States: states})
	}
	return nil
}

func (c bookPages) sellers(b *history.Book, set *dossier.Set) error {
	traders, err := b.Traders(c.Seller, c.Most+1)
	if err != nil {
		return err
	}
	if c.Seller != "" && len(traders) == 0 {
		return hinted{fmt.Errorf("the casebook has no seller %q", c.Seller), "nothing was written"}
	}
	if len(traders) > c.Most {
		traders, set.Left = traders[:c.Most], fmt.Sprintf("Only the %d with most listings are shown; --most changes that.", c.Most)
	}
	for i := range traders {
		t := &traders[i]
		if err := b.Fill(t); err != nil {
			return err
		}
		page := dossier.Seller{Key: t.Key, Shown: t.Shown, Contacts: t.Contacts, States: t.States, Cases: t.Cases, Findings: t.Findings}
		for _, x := range t.Shared {
			page.Shared = append(page.Shared, dossier.Shared(x))
		}
		for _, d := range t.Decisions {
			page.Notes = append(page.Notes, dossier.Note{Listing: d.Listing, Word: d.Word, Note: d.Note, At: time.Unix(d.At, 0)})
		}
		set.Sellers = append(set.Sellers, page)
	}
	return nil
}
