package evidence

import (
	"cmp"
	"fmt"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

// pageView is what the template of a page prints. All its strings are visible
// text, see [report.Visible]; links are escaped paths.
type pageView struct {
	head
	Title          string
	Lang           string
	Of             int  // listings of the batch
	Alone          bool // without other pages
	Previous, Next string
	Facts          []fact
	Against        []findingView
	SpeakFor       []findingView
	Price          priceView
	Gaps           []gapView
	Settings       []string
	Ask            []string
	Origin         originView
	Related        []relatedView
}

// head is what every line about a listing shows of it.
type head struct {
	Rank     int
	Sign     string
	Outcome  string
	Support  string
	Evidence string
	Bar      string // length of the bar in units of its picture, see barOf
	Coverage string
	Price    string
}

// fact is one line of the summary. A text the listing does not show is ""; the
// template then says so.
type fact struct {
	Name, Text string
	Own        bool // the text is the listing's, not ours
}

// barFull is the weight in decibans that fills the bar, which is barWidth wide.
const (
	barFull  = 50
	barWidth = 250
)

func barOf(db float64) string {
	return fmt.Sprintf("%.1f", barWidth*min(max(db, 0), barFull)/barFull)
}

// signs tell the outcomes apart without colour.
var signs = map[string]string{
	rules.DeceptionSuspected: "▲", rules.CopyOpenlySold: "◇", rules.TooIncomplete: "…", rules.NothingFound: "–",
}

func (s *Set) head(j *rules.Judged) head {
	return head{Rank: j.Rank, Sign: signs[j.Outcome], Outcome: report.OutcomeText(j.Outcome), Support: report.SupportText(j),
		Evidence: report.Decibans(j.EvidenceDB), Bar: barOf(j.EvidenceDB), Coverage: rules.Percent(j.Coverage),
		Price: see(report.PriceText(j.Market()), textLimit)}
}

func titleOf(l *listing.Listing) string {
	return see(cmp.Or(l.Value(listing.Title), l.Key), 300)
}

func sellerOf(l *listing.Listing) string {
	return see(cmp.Or(l.Value(listing.Seller), l.Value(listing.SellerID)), 200)
}

func (s *Set) page(j *rules.Judged) *pageView {
	l := j.Listing
	v := &pageView{head: s.head(j), Title: titleOf(l), Lang: langOf(l), Of: len(s.res.Ranked), Alone: s.alone,
		Price: s.price(j), Origin: s.origin(j), Related: s.related(j)}
	if j.Rank > 1 && !s.alone {
		v.Previous = pageFile(s.paged[j.Rank-2])
	}
	if j.Rank < len(s.paged) && !s.alone {
		v.Next = pageFile(s.paged[j.Rank])
	}
	v.Facts = []fact{
		{"Seller", sellerOf(l), true},
		{"Landed price", v.head.Price, false},
		{"Part", see(report.PartText(s.res, j), textLimit), true},
		{"Condition", see(cmp.Or(l.Value(listing.Condition), listing.Unknown), textLimit), true},
		{"What the texts claim", see(report.ClaimText(s.res, j), textLimit), false},
		{"Listing key", see(l.Key, textLimit), true},
		{"Address as stated", see(l.Value(listing.URL), textLimit), true},
	}
	v.Against, v.SpeakFor = s.findings(j)
	v.Gaps, v.Settings = s.gaps(j)
	for _, q := range report.AskList(j) {
		v.Ask = append(v.Ask, see(q, textLimit))
	}
	return v
}

// Cautions are printed on every page.
func (*pageView) Cautions() []report.Caution { return report.Cautions }

// gapView is one thing that was not observed.
type gapView struct {
	Lacked string
	Rules  []string // titles of the rules that waited for it
	Ask    string
}

// gaps lists what the listing does not show, with the rules that could not be
// assessed for that, and apart from it what the user's settings lack.
func (s *Set) gaps(j *rules.Judged) (list []gapView, settings []string) {
	at := map[rules.Need]int{}
	for _, g := range j.Gaps {
		if g.Need.IsSetting() {
			if _, seen := at[g.Need]; !seen {
				at[g.Need] = 0
				settings = append(settings, g.Need.String())
			}
			continue
		}
		i, seen := at[g.Need]
		if !seen {
			i = len(list)
			at[g.Need] = i
			list = append(list, gapView{Lacked: g.Need.String(), Ask: g.Need.Ask()})
		}
		list[i].Rules = append(list[i].Rules, see(s.res.Rules[g.Rule].Doc.Title, textLimit))
	}
	return list, settings
}
