package userrules

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"math"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/parse/listing/strict"
	"counterfoil/rules/settings"
)

// Bounds on a file and the texts of a rule.
const (
	MaxRules   = 150
	maxID      = 60   // characters
	maxTitle   = 120  // characters
	maxText    = 2000 // characters
	maxQuotes  = 12
	maxSources = 1 << 20 // bytes of a file
)

// Book is what a rules file says.
type Book struct {
	File       string // name without its folder, for sentences
	Rules      []Rule
	Off        []string // IDs of built-in rules that are switched off
	Thresholds Thresholds
	Changed    []Change
}

// Rule is one rule of the user.
type Rule struct {
	ID, Family                    string
	Weight                        float64 // decibans
	Title, Meaning, Innocent, Ask string
	Condition                     string // as written
	Says                          string // the statement as written
	Quote                         []listing.Name
	condition                     *condition
	pieces                        []piece
}

// Uses lists the numbers of the facts that the condition names, in the order
// of first mention.
func (r *Rule) Uses() []int { return r.condition.uses }

// Holds evaluates the condition. values holds the facts of Uses by name, in
// the Go type of the fact's Type; none of them may be missing. It fails only
// when the condition divides by 0.
func (r *Rule) Holds(values map[string]any) (bool, error) { return r.condition.holds(values) }

// Changes says in sentences what the file changes of a run.
func (b *Book) Changes() []string {
	var list []string
	add := func(format string, args ...any) {
		list = append(list, fmt.Sprintf(format, args...)+" ("+b.File+")")
	}
	for _, id := range b.Off {
		add("rule %s is switched off", id)
	}
	for _, c := range b.Changed {
		add("%s", c)
	}
	for i := range b.Rules {
		add("rule %s is the user's own", b.Rules[i].ID)
	}
	return list
}

// Known is what a file is checked against.
type Known struct {
	Rules    []string // IDs of the built-in rules
	Families []string
}

type document struct {
	Rules      []ruleText `yaml:"rules"`
	Off        []scalar   `yaml:"off"`
	Thresholds pairs      `yaml:"thresholds"`
}

type ruleText struct {
	ID        scalar   `yaml:"id"`
	Family    scalar   `yaml:"family"`
	Weight    scalar   `yaml:"weight"`
	Title     scalar   `yaml:"title"`
	Meaning   scalar   `yaml:"meaning"`
	Innocent  scalar   `yaml:"innocent"`
	Ask       scalar   `yaml:"ask"`
	Statement scalar   `yaml:"statement"`
	Quote     []scalar `yaml:"quote"`
	When      scalar   `yaml:"when"`
}

// reader gathers the mistakes of one file.
type reader struct {
	file  string
	data  []byte
	known Known
	errs  []strict.Error
}

// fail notes a mistake at a rune of a scalar.
func (r *reader) fail(s *scalar, rune int, format string, args ...any) {
	line, column := 1, 1
	if s.Line > 0 {
		line, column = s.Line, s.Column
	}
	if rune > 0 || s.Line > 0 && s.style != 0 {
		line, column = s.place(r.data, rune)
	}
	r.errs = append(r.errs, strict.At(r.file, r.data, line, column, fmt.Sprintf(format, args...)))
}

// Read reads a rules file. All mistakes are returned, joined, in the order of
// the file.
func Read(file string, data []byte, known Known) (*Book, error) {
	if len(data) > maxSources {
		return nil, fmt.Errorf("%s: larger than %d bytes", file, maxSources)
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	var doc document
	if err := strict.YAML(file, data, &doc); err != nil {
		return nil, err
	}
	r := &reader{file: file, data: data, known: known}
	book := &Book{File: path.Base(filepath.ToSlash(file))}
	if len(doc.Rules) > MaxRules {
		r.fail(doc.Rules[MaxRules].place(), 0, "more than %d rules", MaxRules)
		doc.Rules = doc.Rules[:MaxRules]
	}
	taken := slices.Clone(known.Rules)
	for i := range doc.Rules {
		book.Rules = append(book.Rules, r.rule(&doc.Rules[i], taken))
		taken = append(taken, doc.Rules[i].ID.Value)
	}
	for i := range doc.Off {
		s := &doc.Off[i]
		switch {
		case !slices.Contains(known.Rules, s.Value):
			r.fail(s, 0, "no built-in rule is called %q; `counterfoil rules` lists them", s.Value)
		case slices.Contains(book.Off, s.Value):
			r.fail(s, 0, "%q stands here twice", s.Value)
		}
		book.Off = append(book.Off, s.Value)
	}
	book.Thresholds, book.Changed = r.readThresholds(doc.Thresholds)
	if len(r.errs) > 0 {
		slices.SortStableFunc(r.errs, func(a, b strict.Error) int {
			return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
		})
		all := make([]error, len(r.errs))
		for i := range r.errs {
			all[i] = r.errs[i]
		}
		return nil, errors.Join(all...)
	}
	return book, nil
}

// place is where a rule is named when one of its parts is absent.
func (t *ruleText) place() *scalar {
	for _, s := range []*scalar{&t.ID, &t.Title, &t.Family, &t.Weight, &t.When, &t.Meaning, &t.Statement, &t.Innocent, &t.Ask} {
		if s.Line > 0 {
			return s
		}
	}
	return &t.ID
}

var idForm = regexp.MustCompile(`^[a-z][a-z0-9]*(-[a-z0-9]+)*$`)

func (r *reader) rule(t *ruleText, taken []string) Rule {
	at := t.place()
	out := Rule{Condition: strings.TrimSpace(t.When.Value)}
	out.ID = r.needed(&t.ID, at, "id", maxID)
	switch {
	case out.ID == "":
	case !idForm.MatchString(out.ID):
		r.fail(&t.ID, 0, "%q is not of the form my-rule: words of small letters and digits, joined with hyphens", out.ID)
	case slices.Contains(taken, out.ID):
		r.fail(&t.ID, 0, "a rule is already called %q", out.ID)
	}
	if out.Family = r.needed(&t.Family, at, "family", maxTitle); out.Family != "" && !slices.Contains(r.known.Families, out.Family) {
		r.fail(&t.Family, 0, "no family is called %q; the families are %s", out.Family, strings.Join(r.known.Families, ", "))
	}
	if r.needed(&t.Weight, at, "weight", maxTitle) != "" {
		if w, ok := r.number(&t.Weight); ok && math.Abs(w) > settings.MaxWeight {
			r.fail(&t.Weight, 0, "the weight is not between -%d and %d decibans", settings.MaxWeight, settings.MaxWeight)
		} else {
			out.Weight = w
		}
	}
	out.Title = r.needed(&t.Title, at, "title", maxTitle)
	out.Meaning = r.needed(&t.Meaning, at, "meaning", maxText)
	out.Innocent = r.needed(&t.Innocent, at, "innocent", maxText)
	out.Ask = r.needed(&t.Ask, at, "ask", maxText)
	out.Says = r.needed(&t.Statement, at, "statement", maxText)
	var err error
	if out.pieces, err = parseStatement(t.Statement.Value); err != nil {
		r.mistake(&t.Statement, err)
	}
	out.Quote = r.quotes(t.Quote)
	if r.needed(&t.When, at, "when", MaxCondition+1) != "" {
		if out.condition, err = compile(t.When.Value); err != nil {
			r.mistake(&t.When, err)
		}
	}
	return out
}

func (r *reader) mistake(s *scalar, err error) {
	var m mistake
	if errors.As(err, &m) {
		r.fail(s, m.at, "%s", m.reason)
	}
}

// needed gives the text on one line and reports an absent, an empty and an
// overlong one.
func (r *reader) needed(s, rule *scalar, key string, limit int) string {
	text := strings.Join(strings.Fields(s.Value), " ")
	switch {
	case s.Line == 0:
		r.fail(rule, 0, "the rule has no %s", key)
	case text == "":
		r.fail(s, 0, "%s is empty", key)
	case len([]rune(text)) > limit:
		r.fail(s, 0, "%s is longer than %d characters", key, limit)
	}
	return text
}

// quotes reads the names of the fields to quote.
func (r *reader) quotes(list []scalar) []listing.Name {
	var out []listing.Name
	for i := range list {
		n := listing.NameOf(list[i].Value)
		switch {
		case n == listing.NoField:
			r.fail(&list[i], 0, "no field is called %q", list[i].Value)
		case slices.Contains(out, n):
			r.fail(&list[i], 0, "%q stands here twice", list[i].Value)
		case len(out) == maxQuotes:
			r.fail(&list[i], 0, "more than %d fields to quote", maxQuotes)
		default:
			out = append(out, n)
		}
	}
	return out
}
