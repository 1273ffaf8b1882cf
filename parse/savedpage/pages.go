package savedpage

import (
	"bytes"
	"errors"
	"fmt"
	"sort"
	"strings"

	"github.com/PuerkitoBio/goquery"
	"github.com/andybalholm/cascadia"
	"go.yaml.in/yaml/v3"
	"golang.org/x/net/html"

	"counterfoil/parse/listing"
	"counterfoil/parse/listing/strict"
)

// SiteSelectors are the user's own selectors for the pages of one site.
type SiteSelectors struct {
	Name   string
	Hosts  []string        // host names; a name stands for its subdomains too
	Where  goquery.Matcher // an element that only this site's pages have, or nil
	Item   goquery.Matcher // the block of one offer on a result page, or nil
	Fields []FieldSelector // in the fixed order of the fields
	// Currency is the ISO 4217 code that signs such as "$" stand for on the site
	// where its pages do not tell, or "".
	Currency string
}

// FieldSelector finds the text of one field.
type FieldSelector struct {
	Field     listing.Name
	Selector  string
	Attribute string // "" for the text of the element
	match     goquery.Matcher
}

// pagesFile is the settings file of selectors:
//
//	sites:
//	  - name: parts shop
//	    hosts: [parts.example]
//	    where: body.shop        # instead of hosts, or beside them
//	    item: li.offer          # only for result pages
//	    currency: CAD           # what "$" is where a page does not tell
//	    fields:
//	      price: span.price
//	      sku: "div.item @data-sku"
type pagesFile struct {
	Sites []yaml.Node `yaml:"sites"`
}

// ReadPages reads the file of selectors. All mistakes are returned, joined,
// each with line and column.
func ReadPages(name string, data []byte) ([]SiteSelectors, error) {
	var doc pagesFile
	if err := strict.YAML(name, data, &doc); err != nil {
		return nil, err
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	e := &pagesErrors{file: name, data: data}
	var out []SiteSelectors
	for i := range doc.Sites {
		out = append(out, e.site(&doc.Sites[i]))
	}
	if err := errors.Join(e.list...); err != nil {
		return nil, err
	}
	return out, nil
}

type pagesErrors struct {
	file string
	data []byte
	list []error
}

func (e *pagesErrors) at(n *yaml.Node, format string, args ...any) {
	e.list = append(e.list, strict.At(e.file, e.data, n.Line, n.Column, fmt.Sprintf(format, args...)))
}

func (e *pagesErrors) site(n *yaml.Node) SiteSelectors {
	var s SiteSelectors
	if n.Kind != yaml.MappingNode {
		e.at(n, "a site with hosts and fields is wanted here")
		return s
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, v := n.Content[i], n.Content[i+1]
		switch key.Value {
		case "name":
			s.Name = v.Value
		case "hosts":
			s.Hosts = e.hosts(v)
		case "where":
			s.Where = e.selector(v, v.Value)
		case "item":
			s.Item = e.selector(v, v.Value)
		case "fields":
			s.Fields = e.fields(v)
		case "currency":
			if _, ok := listing.MinorUnits(v.Value); !ok {
				e.at(v, "%q is not an ISO 4217 code such as EUR", v.Value)
			}
			s.Currency = v.Value
		default:
			e.at(key, "unknown key %q; known are name, hosts, where, item, currency, fields", key.Value)
		}
	}
	if len(s.Hosts) == 0 && s.Where == nil {
		e.at(n, "the site has neither hosts nor where, so it would match every page")
	}
	if len(s.Fields) == 0 && s.Currency == "" {
		e.at(n, "the site has neither fields nor a currency")
	}
	return s
}

func (e *pagesErrors) hosts(v *yaml.Node) []string {
	if v.Kind != yaml.SequenceNode {
		e.at(v, "a list of host names is wanted here")
		return nil
	}
	var out []string
	for _, h := range v.Content {
		if h.Value == "" || strings.ContainsAny(h.Value, "/: ") {
			e.at(h, "%q is not a host name", h.Value)
			continue
		}
		out = append(out, strings.ToLower(h.Value))
	}
	return out
}

func (e *pagesErrors) selector(n *yaml.Node, s string) goquery.Matcher {
	if n.Kind != yaml.ScalarNode || strings.TrimSpace(s) == "" {
		e.at(n, "a CSS selector is wanted here")
		return nil
	}
	m, err := cascadia.ParseGroup(s)
	if err != nil {
		e.at(n, "%q is not a CSS selector: %v", s, err)
		return nil
	}
	return group{m}
}

// group makes a cascadia selector list a goquery matcher.
type group struct{ list cascadia.SelectorGroup }

func (g group) Match(n *html.Node) bool { return g.list.Match(n) }

// MatchAll finds n itself and its descendants, as goquery expects.
func (g group) MatchAll(n *html.Node) []*html.Node {
	var out []*html.Node
	if g.list.Match(n) {
		out = append(out, n)
	}
	return append(out, cascadia.QueryAll(n, g.list)...)
}

func (g group) Filter(list []*html.Node) []*html.Node { return cascadia.Filter(list, g.list) }

func (e *pagesErrors) fields(v *yaml.Node) []FieldSelector {
	if v.Kind != yaml.MappingNode {
		e.at(v, "a map of field names to selectors is wanted here")
		return nil
	}
	var out []FieldSelector
	seen := map[listing.Name]bool{}
	for i := 0; i+1 < len(v.Content); i += 2 {
		key, val := v.Content[i], v.Content[i+1]
		f := FieldSelector{Field: listing.NameOf(key.Value)}
		if f.Field == listing.NoField {
			e.at(key, "%q is not a field", key.Value)
			continue
		}
		if seen[f.Field] {
			e.at(key, "%q stands here twice", key.Value)
			continue
		}
		seen[f.Field] = true
		f.Selector = val.Value
		if i := strings.LastIndex(val.Value, "@"); i > 0 && !strings.ContainsAny(val.Value[i:], "]) ") {
			f.Selector, f.Attribute = strings.TrimSpace(val.Value[:i]), val.Value[i+1:]
		}
		if f.match = e.selector(val, f.Selector); f.match != nil {
			out = append(out, f)
		}
	}
	sort.Slice(out, func(a, b int) bool { return out[a].Field < out[b].Field })
	return out
}

// matches reports whether the selectors are meant for a page.
func (s *SiteSelectors) matches(doc *goquery.Document, host string) bool {
	for _, h := range s.Hosts {
		if host == h || strings.HasSuffix(host, "."+h) {
			return s.Where == nil || doc.FindMatcher(s.Where).Length() > 0
		}
	}
	return len(s.Hosts) == 0 && s.Where != nil && doc.FindMatcher(s.Where).Length() > 0
}

// selected applies the user's selectors. It reports whether they settle the
// page: they name the blocks of a result page and found some.
func (r *reader) selected() bool {
	if len(r.opt.Pages) == 0 {
		return false
	}
	doc := goquery.NewDocumentFromNode(r.p.root)
	for k := range r.opt.Pages {
		s := &r.opt.Pages[k]
		if !s.matches(doc, r.hints.Host) {
			continue
		}
		if s.Currency != "" {
			r.hints.Currency = s.Currency
		}
		at := r.nodeIndex()
		if s.Item == nil {
			r.cands = append(r.cands, r.selectedFields(s, doc.Selection, at)...)
			return false
		}
		found := false
		doc.FindMatcher(s.Item).EachWithBreak(func(_ int, item *goquery.Selection) bool {
			list := r.selectedFields(s, item, at)
			if len(list) == 0 {
				return true
			}
			found = true
			return r.brief(list)
		})
		if found {
			r.out.Kind = KindResults
		}
		return found
	}
	return false
}

func (r *reader) nodeIndex() map[*html.Node]int32 {
	at := make(map[*html.Node]int32, len(r.p.nodes))
	for i := range r.p.nodes {
		at[r.p.nodes[i].n] = int32(i)
	}
	return at
}

func (r *reader) selectedFields(s *SiteSelectors, within *goquery.Selection, at map[*html.Node]int32) []candidate {
	var out []candidate
	for _, f := range s.Fields {
		sel := within.FindMatcher(f.match).First()
		if sel.Length() == 0 {
			continue
		}
		i, ok := at[sel.Get(0)]
		if !ok {
			continue
		}
		raw := r.p.text(i, maxText)
		if f.Field == listing.Description {
			raw = r.p.lines(i, i, maxText)
		}
		if f.Attribute != "" {
			raw = sel.AttrOr(f.Attribute, "")
		}
		if raw == "" {
			continue
		}
		out = append(out, candidate{name: f.Field, raw: raw, source: srcPage, path: f.Selector, node: i, trust: trustUser, why: "the user's selector"})
	}
	return out
}
