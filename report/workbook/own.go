package workbook

import (
	"fmt"
	"strings"

	"counterfoil/report"
	"counterfoil/rules"
)

const maxRemarks = 200_000

var ownColumns = []column{
	{"No.", 6, whole},
	{report.HeadTitle, 32, wrapped},
	{"Part", 22, ident},
	{"Kind", 14, wrapped},
	{"What a careful buyer cannot see, or stumbles over", 46, wrapped},
	{"As it stands: place and exact text", 44, wrapped},
	{"The wording or view that settles it", 52, wrapped},
	{"Done", 8, entry},
	{"Note", 20, entry},
	{"Capture", 30, wrapped},
	{report.HeadKey, 24, ident},
}

func (b *book) ownListings() task {
	own := b.opt.Own
	s := b.open(sheetOwn, layout{frozen: 2, printed: 9}, ownColumns, notes(
		fmt.Sprintf("%s of %s. No suspicion is reckoned for them, and they stand on no sheet as a suspect; their prices still count in the markets.",
			report.Plural(len(own.Listings), "listing"), report.Visible(own.Seller)),
		"What is not shown or not stated is no fault. It is what a careful buyer asks first, and what an honest listing can answer beforehand.")...)
	return task{s, func() {
		for i, j := range own.Listings {
			if s.row-s.first+1 >= maxRemarks || s.err != nil {
				return
			}
			b.addOwn(s, i+1, j)
		}
	}, nil}
}

func (b *book) addOwn(s *sheet, number int, j *rules.Judged) {
	l := j.Listing
	remarks := report.OwnRemarks(b.res, j)
	if len(remarks) == 0 {
		s.add(number, heading(l), report.PartText(b.res, j), nil, "Nothing to remark in what was supplied.", nil, nil, nil, nil, b.capture(s, l), l.Key)
		b.linkCapture(s, 10, l)
	}
	for _, r := range remarks {
		quotes := make([]string, len(r.Quotes))
		for i, e := range r.Quotes {
			quotes[i] = quoteText(e, false)
		}
		s.add(number, heading(l), report.PartText(b.res, j), r.Kind, r.What, strings.Join(quotes, "\n"), r.Settle, nil, nil, b.capture(s, l), l.Key)
		b.linkCapture(s, 10, l)
	}
}
