package settings

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"counterfoil/parse/listing/strict"
)

// Weights replaces default weights, in decibans by rule ID.
type Weights map[string]float64

// MaxWeight bounds a weight in decibans: a likelihood ratio of a million.
const MaxWeight = 60

// ReadWeights reads `weights: {rule-id: 6.5}`. known lists the rule IDs.
func ReadWeights(file string, data []byte, known []string) (Weights, error) {
	var doc struct {
		Weights Weights `yaml:"weights"`
	}
	if err := strict.YAML(file, data, &doc); err != nil {
		return nil, err
	}
	ids := make([]string, 0, len(doc.Weights))
	for id := range doc.Weights {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	var errs []error
	for _, id := range ids {
		line, column := find(data, id)
		if !slices.Contains(known, id) {
			errs = append(errs, strict.At(file, data, line, column, fmt.Sprintf("no rule is called %q; `counterfoil rules` lists them", id)))
		}
		if w := doc.Weights[id]; math.IsNaN(w) || math.Abs(w) > MaxWeight {
			errs = append(errs, strict.At(file, data, line, column, fmt.Sprintf("the weight of %q is not between -%d and %d decibans", id, MaxWeight, MaxWeight)))
		}
	}
	if len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	return doc.Weights, nil
}
