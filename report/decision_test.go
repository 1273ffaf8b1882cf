package report_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"counterfoil/report"
	"counterfoil/report/internal/sample"
	"counterfoil/rules"
)

func TestEvidenceMark(t *testing.T) {
	mark := func(change func(*sample.Offer)) string {
		offers := sample.Offers()
		change(&offers[0])
		return report.EvidenceMark(sample.Result(offers).Ranked[0])
	}
	same := mark(func(*sample.Offer) {})
	assert.Regexp(t, `^e[0-9a-f]{8}$`, same)
	assert.Equal(t, same, mark(func(o *sample.Offer) { o.DB += 0.04 }), "within a tenth of a decibel")
	assert.Equal(t, same, mark(func(o *sample.Offer) { o.Price = "313.00" }), "a price that changes no finding")
	assert.Equal(t, same, mark(func(o *sample.Offer) { o.Title = " " + o.Title }))
	for name, change := range map[string]func(*sample.Offer){
		"outcome":  func(o *sample.Offer) { o.Outcome = rules.NothingFound },
		"evidence": func(o *sample.Offer) { o.DB++ },
		"findings": func(o *sample.Offer) { o.Findings = o.Findings[:1] },
		"title":    func(o *sample.Offer) { o.Title = "another unit" },
		"seller":   func(o *sample.Offer) { o.Seller = "another seller" },
	} {
		assert.NotEqual(t, same, mark(change), name)
	}
}
