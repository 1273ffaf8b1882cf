package claims

import (
	"embed"
	"fmt"
	"slices"
	"strings"
	"sync"
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

// builtin parses the built-in lexicons once.
var builtin = sync.OnceValues(func() ([]*Lexicon, error) {
	var list []*Lexicon
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
		list = append(list, lex)
	}
	return list, nil
})

// Engine reads texts against the built-in lexicon, the makers' names and the
// user's own lexicons. It is safe for concurrent use.
type Engine struct {
	auto      *automaton
	langs     []string // order of preference
	disguises *disguiseFinder
	memory    sync.Pool // of *memory
	squeezes  sync.Pool // of *squeezed
}

// memory is what one Read leaves for the next to write over.
type memory struct {
	scanner scanner
	pages   []*page
	total   []int
}

// New builds an engine. Build it once: it compiles every phrase. A phrase of
// an extra lexicon goes before the built-in ones that begin at the same place;
// one under [label] takes their meaning away.
func New(makers []Maker, extra ...*Lexicon) (*Engine, error) {
	e := &Engine{auto: newAutomaton()}
	lexicons, err := builtin()
	if err != nil {
		return nil, err
	}
	for _, lex := range lexicons {
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
	rank := slices.Index(e.langs, lex.Lang)
	if rank < 0 {
		rank = len(e.langs)
		e.langs = append(e.langs, lex.Lang)
	}
	made := map[*entry]*entry{} // one meaning per section, shared by its phrases
	for _, v := range lex.variants {
		meaning := made[v.entry]
		if meaning == nil {
			copied := *v.entry
			copied.user, copied.rank = user, rank
			copied.meaning = &Meaning{copied.stance, copied.code, copied.lang}
			meaning = &copied
			made[v.entry] = meaning
		}
		e.auto.add(v.words, meaning)
	}
}

func (e *Engine) addMakers(makers []Maker) error {
	for _, m := range makers {
		meaning := &entry{layer: layerMaker, maker: m.Name}
		for _, name := range append([]string{m.Name}, m.Also...) {
			words := foldWords(name)
			if len(words) == 0 || len(words) > maxPhraseSize {
				return fmt.Errorf("maker name %q cannot be searched for: want 1 to %d words", name, maxPhraseSize)
			}
			e.auto.add(words, meaning)
		}
	}
	return nil
}

// Read says what the texts claim the item to be. Texts of more weight come
// first; Texts gives them in that order.
func (e *Engine) Read(texts []Text, o Options) Result {
	m, ok := e.memory.Get().(*memory)
	if !ok {
		m = &memory{total: make([]int, len(e.langs))}
	}
	defer e.memory.Put(m)
	for len(m.pages) < len(texts) {
		m.pages = append(m.pages, &page{votes: make([]int, len(e.langs))})
	}
	pages := m.pages[:len(texts)]
	clear(m.total)

	r := Result{Summary: Summary{Claim: ClaimSilent}}
	for i, t := range texts {
		p := pages[i]
		p.field, p.raw = t.Field, t.Raw
		if len(p.raw) > MaxText {
			p.raw, r.Cut = cutRunes(p.raw, MaxText), true
		}
		p.fold(p.raw)
		p.hits = append(p.hits[:0], m.scanner.scan(e.auto, &p.folded)...)
		e.vote(p)
		for k, n := range p.votes {
			m.total[k] += n
		}
	}
	for _, p := range pages {
		p.lang = preferred(p.votes, m.total)
		p.resolve(e.auto)
		p.bindPhrases()
	}
	readNames(pages, &r)
	r.Claim = decide(pages, &r, o)
	n := 0
	for _, p := range pages {
		n += len(p.claims)
	}
	if n > 0 {
		r.Phrases = make([]Phrase, 0, n) // results are held for the whole batch
	}
	for _, p := range pages {
		r.Phrases = p.report(r.Phrases)
		p.raw = ""
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

// vote counts, for each language, the words of phrases that no other language
// knows.
func (e *Engine) vote(p *page) {
	clear(p.votes)
	for _, h := range p.hits {
		if lang := e.auto.nodes[h.node].only; lang != mixed {
			p.votes[lang] += int(h.last - h.first + 1)
		}
	}
}

// noLanguage is the language of a text that shows none.
const noLanguage = -1

// preferred picks the language of a text: most votes in the text, then in the
// listing, then the order of the lexicons.
func preferred(votes, total []int) int {
	best := noLanguage
	for i := range votes {
		if total[i] == 0 {
			continue
		}
		if best < 0 || votes[i] > votes[best] || votes[i] == votes[best] && total[i] > total[best] {
			best = i
		}
	}
	return best
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
