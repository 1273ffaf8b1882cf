// Package groups writes a page for each group of accounts that one operator may
// stand behind: who they are, what joins them, drawn and in words, what differs,
// and how strangers come to look alike. It accuses nobody: a person decides.
//
// set.go says which pages there are, page.go what stands on one, layout.go how
// the accounts are drawn.
package groups

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"regexp"
	"sync"

	"counterfoil/report"
	"counterfoil/rules"
)

// Options are what the pages need beside the batch.
type Options struct {
	Dir   string // output folder of the report, to find pages of an earlier run
	Limit int    // largest number of pages; 0: none
	// Page gives the evidence page of a listing, as a path from Dir, "" when it
	// has none. It may be nil.
	Page func(j *rules.Judged) string
}

// Set is the pages of one run.
type Set struct {
	res    *rules.Result
	run    *report.Run
	opt    Options
	groups []*report.SellerGroup // those with a page
	paged  map[int]bool          // by number
	byN    []*rules.Judged
}

const folder = "pages"

// generator marks the pages of this package, so that no other file is ever taken
// for a stale page.
const generator = `<meta name="generator" content="Counterfoil group pages">`

// New prepares the pages of the first groups of two accounts and more, of all
// that [report.SellerGroups] gives.
func New(res *rules.Result, run *report.Run, all []*report.SellerGroup, opt Options) *Set {
	s := &Set{res: res, run: run, opt: opt, paged: map[int]bool{}, byN: make([]*rules.Judged, len(res.Facts.Listings))}
	for _, j := range res.Ranked {
		s.byN[j.N] = j
	}
	for _, g := range all {
		if len(g.Accounts) > 1 && len(s.groups) < opt.Limit {
			s.groups = append(s.groups, g)
			s.paged[g.Number] = true
		}
	}
	return s
}

func fileName(number int) string { return fmt.Sprintf("group-%04d.html", number) }

// Page is the page of a group by its number, as a path in the output folder with
// a forward slash, "" when it has none.
func (s *Set) Page(number int) string {
	if !s.paged[number] {
		return ""
	}
	return folder + "/" + fileName(number)
}

// Files are the pages, and the removal of those that an earlier run left.
func (s *Set) Files() []report.File {
	var list []report.File
	now := map[string]bool{}
	for _, g := range s.groups {
		name := fileName(g.Number)
		now[name] = true
		list = append(list, report.File{Name: folder + "/" + name, Write: func(w io.Writer) error {
			return markup().Execute(w, s.page(g))
		}})
	}
	for _, name := range report.LeftPages(s.opt.Dir, folder, pageForm, generator) {
		if !now[name] {
			list = append(list, report.File{Name: folder + "/" + name})
		}
	}
	return list
}

var pageForm = regexp.MustCompile(`^group-[0-9]{4,}\.html$`)

//go:embed templates/group.html
var source string

var markup = sync.OnceValue(func() *template.Template { return template.Must(template.New("group").Parse(source)) })
