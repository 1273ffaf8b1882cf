package report

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"

	"counterfoil/rules"
	"counterfoil/rules/settings"
)

// RuleSetHash names a set of rules: the SHA-256, in lower-case hex, of a JSON
// array with one object for each rule, sorted by id, that holds everything a
// finding depends on or prints, with the user's weights in place of the
// defaults.
func RuleSetHash(list []*rules.Rule, weights settings.Weights) string {
	type ruleText struct {
		ID       string   `json:"id"`
		Family   string   `json:"family"`
		Weight   float64  `json:"weight_db"`
		Decisive bool     `json:"decisive"`
		Needs    []string `json:"needs"`
		Title    string   `json:"title"`
		Meaning  string   `json:"meaning"`
		Formula  string   `json:"formula"`
		Innocent string   `json:"innocent"`
		Ask      string   `json:"ask"`
		Since    string   `json:"since"`
	}
	texts := make([]ruleText, len(list))
	for i, r := range list {
		t := ruleText{ID: r.ID, Family: string(r.Family), Weight: weightOf(r, weights), Decisive: r.Decisive,
			Title: r.Doc.Title, Meaning: r.Doc.Meaning, Formula: r.Doc.Formula,
			Innocent: r.Doc.Innocent, Ask: r.Doc.Ask, Since: r.Doc.Since}
		for _, n := range r.Needs {
			t.Needs = append(t.Needs, n.String())
		}
		texts[i] = t
	}
	slices.SortFunc(texts, func(a, b ruleText) int { return cmp.Compare(a.ID, b.ID) })
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(texts); err != nil { // only a weight that is no number
		return ""
	}
	sum := sha256.Sum256(bytes.TrimRight(b.Bytes(), "\n"))
	return hex.EncodeToString(sum[:])
}

// weightOf is the weight that applies: the user's if given.
func weightOf(r *rules.Rule, weights settings.Weights) float64 {
	if w, ok := weights[r.ID]; ok {
		return w
	}
	return r.Weight
}
