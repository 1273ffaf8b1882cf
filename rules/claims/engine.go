package claims

import (
	"embed"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"counterfoil/parse/listing"
)

// Bounds on what is read of one listing.
const (
	MaxText    = 256 << 10 // bytes of one text
	MaxPhrases = 400       // phrases of one listing
)

//go:embed lexicon/*.lex
var lexiconFiles embed.FS

// languages fixes the order of the built-in lexicons. Where the language of a
// text cannot be told, the earlier one wins.
var languages = []string{"en", "de", "fr", "es", "it", "pl", "ru", "zh"}

// Engine reads texts against the built-in lexicon, the makers' names and the
// user's own lexicons. It is safe for concurrent use.
type Engine struct {
	auto      *automaton
	langs     []string // order of preference
	byLang    map[string]int
	disguises *disguiseFinder
}

// New builds an engine. Build it once: it compiles every phrase. A phrase of
// an extra lexicon replaces the built-in meaning of the same phrase; one under
// [label] takes its meaning away.
func New(makers []Maker, extra ...*Lexicon) (*Engine, error) {
	e := &Engine{auto: newAutomaton(), byLang: map[string]int{}}
	for _, lang := range languages {
		name := "lexicon/" + lang + ".lex"
		src, err := lexiconFiles.ReadFile(name)
		if err != nil {
			return nil, err
		}
		lex, err := ParseLexicon(name, src)
		if err != nil {
			return nil, err
		}
		e.addLexicon(lex, false)
	}
	for _, lex := range extra {
		e.addLexicon(lex, true)
	}
	if err := e.addMakers(makers); err != nil {
		return nil, err
	}
	e.disguises = newDisguiseFinder(makers)
	return e, nil
}

func (e *Engine) addLexicon(lex *Lexicon, user bool) {
	if _, ok := e.byLang[lex.Lang]; !ok {
		e.byLang[lex.Lang] = len(e.langs)
		e.langs = append(e.langs, lex.Lang)
	}
	for _, v := range lex.variants {
		v.entry.user = user
		e.auto.add(v.words, v.entry)
	}
}

func (e *Engine) addMakers(makers []Maker) error {
	for _, m := range makers {
		for _, name := range append([]string{m.Name}, m.Also...) {
			words, reason := patterns(strings.NewReplacer("*", " ", "_", " ").Replace(name))
			if reason == "" && len(words) == 0 {
				reason = "it holds no letters"
			}
			if reason != "" {
				return fmt.Errorf("maker name %q cannot be searched for: %s", name, reason)
			}
			e.auto.add(words, entry{layer: layerMaker, maker: m.Name})
		}
	}
	return nil
}

// Read says what the texts claim the item to be. Texts of more weight come
// first; Texts gives them in that order.
func (e *Engine) Read(texts []Text, o Options) Result {
	r := Result{Claim: ClaimSilent}
	pages := make([]*page, 0, len(texts))
	total := make([]int, len(e.langs))
	for _, t := range texts {
		p := &page{engine: e, field: t.Field, raw: t.Raw}
		if len(p.raw) > MaxText {
			p.raw, r.Cut = cutRunes(p.raw, MaxText), true
		}
		p.fold(p.raw)
		p.hits = e.auto.scan(&p.folded)
		p.votes = e.vote(p.hits)
		for i, n := range p.votes {
			total[i] += n
		}
		pages = append(pages, p)
	}
	for _, p := range pages {
		p.lang = e.preferred(p.votes, total)
		p.resolve()
		p.bindPhrases()
	}
	readNames(pages, &r)
	r.Claim = decide(pages, &r, o)
	for _, p := range pages {
		r.Phrases = append(r.Phrases, p.report()...)
	}
	if len(r.Phrases) > MaxPhrases {
		r.Phrases, r.Cut = r.Phrases[:MaxPhrases:MaxPhrases], true
	}
	return r
}

// cutRunes shortens s to at most n bytes without cutting a character.
func cutRunes(s string, n int) string {
	for n > 0 && !utf8.RuneStart(s[n]) {
		n--
	}
	return s[:n]
}

// vote counts, for each language, the phrases that no other language knows.
func (e *Engine) vote(hits []hit) []int {
	votes := make([]int, len(e.langs))
	for _, h := range hits {
		out := e.auto.nodes[h.node].out
		lang := out[0].lang
		if lang == "" || slices.ContainsFunc(out, func(x entry) bool { return x.lang != lang }) {
			continue
		}
		votes[e.byLang[lang]] += int(h.last - h.first + 1)
	}
	return votes
}

// preferred picks the language of a text: most votes in the text, then in the
// listing, then the order of the lexicons. It is "" when nothing speaks for any.
func (e *Engine) preferred(votes, total []int) string {
	best := -1
	for i := range votes {
		if total[i] == 0 {
			continue
		}
		if best < 0 || votes[i] > votes[best] || votes[i] == votes[best] && total[i] > total[best] {
			best = i
		}
	}
	if best < 0 {
		return ""
	}
	return e.langs[best]
}

// readNames fills what the brand field and the title say of makers.
func readNames(pages []*page, r *Result) {
	for _, p := range pages {
		if p.field == listing.Brand && r.BrandState == BrandAbsent && strings.TrimSpace(p.raw) != "" {
			r.BrandState, r.Brand = p.brand()
		}
		if p.field == listing.Title && r.Leading == "" {
			r.Leading = p.leading()
		}
		for _, c := range p.claims {
			if c.object != "" && !slices.Contains(r.For, c.object) {
				r.For = append(r.For, c.object)
			}
		}
	}
}
