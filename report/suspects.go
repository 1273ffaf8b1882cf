package report

import (
	"bytes"
	"cmp"
	"encoding/json"
	"io"
	"math"
	"slices"
	"sync"

	"counterfoil/parse/listing"
	"counterfoil/rules"
	"counterfoil/rules/market"
)

type money struct {
	Amount     string `json:"amount"`
	Currency   string `json:"currency"`
	LowerBound bool   `json:"lower_bound,omitempty"`
}

type suspectLine struct {
	Rank        int           `json:"rank"`
	Listing     string        `json:"listing"`
	File        string        `json:"file"`
	SHA256      string        `json:"sha256"`
	Row         int           `json:"row,omitempty"`
	URL         string        `json:"url"`
	Title       string        `json:"title"`
	Seller      string        `json:"seller"`
	Part        string        `json:"part"`
	Condition   string        `json:"condition"`
	Claim       string        `json:"claim"`
	Landed      *money        `json:"landed"`
	Outcome     string        `json:"outcome"`
	EvidenceDB  float64       `json:"evidence_db"`
	Support     string        `json:"support"`
	Coverage    float64       `json:"coverage"`
	Findings    []findingLine `json:"findings"`
	NotAssessed *struct{}     `json:"not_assessed"` // put in by gapWriter

	Entry       string      `json:"entry,omitempty"`
	SupportHeld bool        `json:"support_held,omitempty"`
	Complete    float64     `json:"complete"`
	UnitType    string      `json:"unit_type"`
	CapturedAt  string      `json:"captured_at,omitempty"`
	Listed      *money      `json:"listed,omitempty"`
	Market      *marketLine `json:"market"`

	// Group is the key of the accounts that one operator may stand behind, when
	// there are several.
	Group    string        `json:"group,omitempty"`
	Contacts []contactLine `json:"contacts,omitempty"`
	Decision *decisionLine `json:"decision,omitempty"`
}

// contactLine is a contact that the listing shows, by its hash.
type contactLine struct {
	Kind string `json:"kind"`
	Hash string `json:"hash"` // see ContactHash
}

type findingLine struct {
	Rule      string         `json:"rule"`
	Family    string         `json:"family"`
	WeightDB  float64        `json:"weight_db"`
	Statement string         `json:"statement"`
	Innocent  string         `json:"innocent"`
	Ask       string         `json:"ask"`
	Evidence  []evidenceLine `json:"evidence"`
}

type evidenceLine struct {
	File   string `json:"file"`
	SHA256 string `json:"sha256"`
	Place  string `json:"place"`
	Quote  string `json:"quote"`
}

type gapLine struct {
	Rule  string `json:"rule"`
	Needs string `json:"needs"`
}

type marketLine struct {
	Excluded         string   `json:"excluded,omitempty"`
	Band             string   `json:"band,omitempty"`
	Widened          string   `json:"widened,omitempty"`
	Sellers          int      `json:"sellers,omitempty"`
	Median           *money   `json:"median,omitempty"`
	Ratio            float64  `json:"ratio,omitempty"`
	Score            *float64 `json:"score,omitempty"`
	Reference        *money   `json:"reference,omitempty"`
	ReferenceDate    string   `json:"reference_date,omitempty"`
	ReferenceSource  string   `json:"reference_source,omitempty"`
	RatioToReference float64  `json:"ratio_to_reference,omitempty"`
	Warnings         []string `json:"warnings,omitempty"`
}

// WriteSuspects writes one JSON object on a line for each listing, in rank
// order. landed is in the run's currency, or in the listing's own when there is no
// rate, and null when there is no comparable price; listed is added when the listing's own currency is another. Weights
// are in decibans, before the family's factor; ratios are rounded to four
// decimals. decision is added where a person has noted one.
func WriteSuspects(w io.Writer, run *Run, res *rules.Result) error {
	gaps := gapWriter{rules: res.Rules, written: map[*rules.Gap][]byte{}}
	accounts := accountsOf(res)
	key := run.ContactKey
	if key == nil {
		key = KeyOf(res.Facts)
	}
	return inPieces(w, len(res.Ranked), pieceSize, func(text *bytes.Buffer, from, to int) error {
		var line bytes.Buffer
		enc := json.NewEncoder(&line)
		enc.SetEscapeHTML(false)
		var room lineRoom
		for _, j := range res.Ranked[from:to] {
			v := room.lineOf(res, j)
			if j.N < len(res.Facts.Operators) && accounts[res.Facts.Operators[j.N]] > 1 {
				v.Group = res.Facts.Operators[j.N]
			}
			v.hashContacts(res, j, key)
			v.Decision = run.Decided.line(j)
			line.Reset()
			if err := enc.Encode(v); err != nil {
				return err
			}
			front, back, _ := bytes.Cut(line.Bytes(), notAssessed)
			for _, part := range [][]byte{front, notAssessed[:len(notAssessed)-len("null,")], gaps.of(j), []byte(","), back} {
				text.Write(part)
			}
		}
		return nil
	})
}

// notAssessed stands once in an encoded line: quotes within a string are
// escaped.
var notAssessed = []byte(`,"not_assessed":null,`)

// pieceSize is how many lines one worker writes at a time.
const pieceSize = 64

// mostGapTexts bounds what is kept, 5 KB each.
const mostGapTexts = 1000

// gapWriter encodes each list of gaps once; most listings share theirs, and
// these lists are the larger part of a line.
type gapWriter struct {
	rules   []*rules.Rule
	mu      sync.Mutex
	written map[*rules.Gap][]byte // by the first gap of a list
}

func (g *gapWriter) of(j *rules.Judged) []byte {
	if len(j.Gaps) == 0 {
		return []byte("[]")
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	text, ok := g.written[&j.Gaps[0]]
	if !ok {
		list := make([]gapLine, len(j.Gaps))
		for i, gap := range j.Gaps {
			list[i] = gapLine{g.rules[gap.Rule].ID, gap.Need.String()}
		}
		var b bytes.Buffer
		enc := json.NewEncoder(&b)
		enc.SetEscapeHTML(false)
		_ = enc.Encode(list) // texts alone: it cannot fail
		text = bytes.TrimSuffix(b.Bytes(), []byte("\n"))
		if len(g.written) < mostGapTexts {
			g.written[&j.Gaps[0]] = text
		}
	}
	return text
}

// accountsOf counts the accounts of each group.
func accountsOf(res *rules.Result) map[string]int {
	n, seen := map[string]int{}, map[string]bool{}
	for i, group := range res.Facts.Operators {
		if key := res.Facts.SellerKeys[i]; group != "" && !seen[key] {
			seen[key] = true
			n[group]++
		}
	}
	return n
}

// hashContacts puts hashes in the place of contacts: programs compare them, and
// a file that is handed on shows none.
func (line *suspectLine) hashContacts(res *rules.Result, j *rules.Judged, key []byte) {
	if res.Facts.Sellers == nil {
		return
	}
	for _, c := range res.Facts.Sellers.Contacts(j.N) {
		v := contactLine{string(c.Kind), ContactHash(key, c.Kind, c.Canonical)}
		if !slices.Contains(line.Contacts, v) {
			line.Contacts = append(line.Contacts, v)
		}
	}
	m := NewContactMask(res, j, hashing(key))
	line.Title, line.Seller = m.Brief(line.Title), m.Brief(line.Seller)
	for i := range line.Findings {
		f := &line.Findings[i]
		f.Statement = m.Brief(f.Statement)
		for k := range f.Evidence {
			if quote := m.Brief(f.Evidence[k].Quote); quote != f.Evidence[k].Quote {
				f.Evidence[k].Quote = listing.Shorten(quote, rules.QuoteLimit)
			}
		}
	}
}

// lineRoom holds a line and what it points to, to be used again for the next.
type lineRoom struct {
	line                              suspectLine
	landed, listed, median, reference money
	market                            marketLine
	score                             float64
	findings                          []findingLine
	evidence                          []evidenceLine
}

// lineOf fills the line, which is good until the next call.
func (r *lineRoom) lineOf(res *rules.Result, j *rules.Judged) *suspectLine {
	l, m := j.Listing, j.MarketNoted()
	r.line = suspectLine{
		Rank: j.Rank, Listing: l.Key, File: l.File, SHA256: l.SHA256, Row: l.Row,
		URL: l.Value(listing.URL), Title: l.Value(listing.Title), Seller: l.Value(listing.Seller),
		Part: PartText(res, j), Condition: cmp.Or(l.Value(listing.Condition), listing.Unknown), Claim: ClaimText(res, j),
		Landed: r.landed.of(m.Price, m.LowerBound), Outcome: j.Outcome,
		EvidenceDB: round(j.EvidenceDB, 2), Support: j.Support, Coverage: round(j.Coverage, 4),
		Findings: r.findingsOf(j),
		Entry:    l.Entry, SupportHeld: j.Held, Complete: round(j.Complete, 4), UnitType: cmp.Or(l.Value(listing.UnitType), listing.Unknown),
		CapturedAt: l.Value(listing.CapturedAt), Market: r.marketOf(&m),
	}
	if own := res.Facts.Landed[j.N]; own.Price.Minor > 0 && own.Price.Currency != m.Price.Currency {
		r.line.Listed = r.listed.of(own.Price, own.LowerBound)
	}
	return &r.line
}

func (r *lineRoom) findingsOf(j *rules.Judged) []findingLine {
	// An empty list must not be nil, which is "null".
	r.findings, r.evidence = slices.Grow(r.findings[:0], 1+len(j.Findings)), slices.Grow(r.evidence[:0], 1)
	for i := range j.Findings {
		f, from := &j.Findings[i], len(r.evidence)
		for _, e := range f.Evidence {
			r.evidence = append(r.evidence, evidenceLine(e))
		}
		r.findings = append(r.findings, findingLine{Rule: f.Rule.ID, Family: string(f.Rule.Family), WeightDB: round(f.WeightDB, 2),
			Statement: f.Statement, Innocent: f.Rule.Doc.Innocent, Ask: f.Rule.Doc.Ask, Evidence: r.evidence[from:len(r.evidence):len(r.evidence)]})
	}
	return r.findings
}

func (r *lineRoom) marketOf(a *market.Assessment) *marketLine {
	r.market = marketLine{Excluded: a.Excluded}
	if a.Excluded != "" {
		return &r.market
	}
	r.market = marketLine{Band: string(a.Band), Widened: a.Widened, Sellers: a.N, Median: r.median.of(a.Median, false),
		Ratio: round(a.Ratio, 4), RatioToReference: round(a.RatioToReference, 4), Warnings: a.Warnings}
	if a.Scored {
		r.score = round(a.Score, 2)
		r.market.Score = &r.score
	}
	if f := a.Reference; f != nil {
		r.market.Reference, r.market.ReferenceDate, r.market.ReferenceSource = r.reference.of(f.InCurrency, false), f.Date, f.Source
	}
	return &r.market
}

// of fills m, and gives nil for an amount that is not above zero.
func (m *money) of(a listing.Amount, lowerBound bool) *money {
	if a.Minor <= 0 {
		return nil
	}
	*m = money{a.String(), a.Currency, lowerBound}
	return m
}

// round keeps JSON free of digits that mean nothing; what is not a number
// becomes 0, since JSON has no word for it.
func round(x float64, digits int) float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0
	}
	p := math.Pow10(digits)
	return math.Round(x*p) / p
}
