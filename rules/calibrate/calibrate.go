package calibrate

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
)

const (
	// folds is the number of parts of the cross-validation.
	folds = 5
	// slopeSD is how far a family's decibans are taken to be off from their face
	// value of 1, as a standard deviation; this project's choice, no source.
	slopeSD = 0.5
)

// Result is what outcomes say of the weights.
type Result struct {
	Rules           []Learned // in the order given
	Copies, Genuine int
	Quarters        [4]int  // cases by their place in the ranking
	PriorSD         float64 // how far the defaults are taken to be off, in decibans
	Families        []Slope
	// Before and After are how the weights of the run and the learned ones do by
	// cross-validation; Joint is the learned ones with each family scaled by its
	// slope.
	Before, After, Joint Quality
	// Change and JointChange are the Brier scores of After and Joint less that of
	// Before.
	Change, JointChange Difference
	// Scaled says that the weights of Rules are those of Joint.
	Scaled bool
}

// Difference is a mean difference with its standard error.
type Difference struct{ Mean, SD float64 }

// Slope is what a deciban of a family is worth beside the other families: 1 is
// its face value, less means that the families count something twice.
type Slope struct {
	Family    string
	Cases     int // with findings of the family
	Value, SD float64
}

// Quality is how well scores rank and probabilities hold.
type Quality struct {
	AveragePrecision, ROCArea, NDCG float64
	At                              []Precision
	Brier                           float64
	Bins                            []Bin
	Curve                           []Step
}

// Precision is the share of copies among the first K; OK is false for fewer.
type Precision struct {
	K     int
	Share float64
	OK    bool
}

// Calibrate learns weights from cases, which are in the order of their keys. It
// fails with fewer than MinEach cases of a kind.
func Calibrate(rules []Rule, cases []Case) (*Result, error) {
	res := &Result{}
	for i := range cases {
		if cases[i].Copy {
			res.Copies++
		} else {
			res.Genuine++
		}
		res.Quarters[min(int(cases[i].Place*4), 3)]++
	}
	if min(res.Copies, res.Genuine) < MinEach {
		return nil, fmt.Errorf("too few outcomes: %d confirmed copies and %d confirmed genuine among the listings; at least %d of each are needed",
			res.Copies, res.Genuine, MinEach)
	}
	res.Rules, res.PriorSD = learn(rules, cases)
	m := newModel(rules)
	if err := res.slopes(m, cases); err != nil {
		return nil, err
	}
	return res, res.validate(m, rules, cases)
}

// slopes fits the families together with the learned weights.
func (res *Result) slopes(m *model, cases []Case) error {
	s := m.score(weightsOf(res.Rules), cases)
	joint, err := s.fitJoint()
	if err != nil {
		return err
	}
	for f, family := range m.families {
		slope := Slope{Family: family, Value: 1 + joint.Coef[f], SD: joint.SD[f]}
		for i := range cases {
			if s.nats[i][f] != 0 {
				slope.Cases++
			}
		}
		if slope.Cases > 0 {
			res.Families = append(res.Families, slope)
		}
	}
	return nil
}

// validate measures weights on cases that they were not learned from.
func (res *Result) validate(m *model, rules []Rule, cases []Case) error {
	copies := make([]bool, len(cases))
	var before, after, joint scored
	for _, s := range []*scored{&before, &after, &joint} {
		s.db, s.p = make([]float64, len(cases)), make([]float64, len(cases))
	}
	used := make([]float64, len(rules))
	for i, r := range rules {
		used[i] = r.Used
	}
	for fold := range folds {
		var train, test []Case
		var at []int
		for i := range cases {
			if foldOf(cases[i].Key) == fold {
				test, at = append(test, cases[i]), append(at, i)
				copies[i] = cases[i].Copy
			} else {
				train = append(train, cases[i])
			}
		}
		list, _ := learn(rules, train)
		learned := weightsOf(list)
		err := before.fill(at, m.score(used, train), m.score(used, test), false)
		if err == nil {
			err = after.fill(at, m.score(learned, train), m.score(learned, test), false)
		}
		if err == nil {
			err = joint.fill(at, m.score(learned, train), m.score(learned, test), true)
		}
		if err != nil {
			return fmt.Errorf("cross-validation, part %d of %d: %w", fold+1, folds, err)
		}
	}
	res.Before, res.After, res.Joint = before.quality(copies), after.quality(copies), joint.quality(copies)
	res.Change, res.JointChange = meanDifference(copies, before.p, after.p), meanDifference(copies, before.p, joint.p)
	return nil
}

// ScaleFamilies makes the weights respect what rules say together: ratios that
// were each measured alone count it once for each of them. The families are
// recalibrated jointly, as likelihood ratios of several systems are fused by
// logistic regression (Morrison, Australian Journal of Forensic Sciences 45,
// 2013), with a prior around their face value. It multiplies the weights of all rules that found something by the
// worth of their family, which makes them those of Joint. A rule that found
// nothing keeps its weight: nothing was learned of it.
func (res *Result) ScaleFamilies() {
	res.Scaled = true
	for i := range res.Rules {
		l := &res.Rules[i]
		for _, s := range res.Families {
			if s.Family == l.Family && l.Findings() > 0 {
				l.Worth = max(s.Value, 0)
				l.DB, l.SD = roundWeight(l.DB*l.Worth), l.SD*l.Worth
			}
		}
	}
}

// foldOf puts a listing into a part by the hash of its key, so that the parts
// stay when outcomes are added.
func foldOf(key string) int {
	sum := sha256.Sum256([]byte(key))
	return int(binary.BigEndian.Uint64(sum[:8]) % folds)
}

func weightsOf(list []Learned) []float64 {
	weights := make([]float64, len(list))
	for i := range list {
		weights[i] = list[i].DB
	}
	return weights
}

// scores are cases weighed, in natural logarithms.
type scores struct {
	copies []bool
	nats   [][]float64 // by case and family
	sum    []float64   // by case
}

func (m *model) score(weights []float64, cases []Case) *scores {
	s := &scores{make([]bool, len(cases)), make([][]float64, len(cases)), make([]float64, len(cases))}
	for i := range cases {
		sums := m.sums(weights, &cases[i])
		for f := range sums {
			sums[f] /= perNat
		}
		s.copies[i], s.nats[i], s.sum[i] = cases[i].Copy, sums, total(sums)
	}
	return s
}

// fitIntercept finds the log odds of a case without findings, its evidence
// taken at face value.
func (s *scores) fitIntercept() (*Logistic, error) {
	return FitLogistic(make([][]float64, len(s.sum)), s.sum, s.copies, 0)
}

// fitJoint finds by how much each family departs from its face value: a normal
// prior with the standard deviation slopeSD is a ridge penalty of 1/slopeSD^2.
func (s *scores) fitJoint() (*Logistic, error) {
	return FitLogistic(s.nats, s.sum, s.copies, 1/(slopeSD*slopeSD))
}

// scored are the evidence in decibans and the probabilities of all cases.
type scored struct{ db, p []float64 }

// fill scores the cases of a part, numbered at, with what the others teach.
func (all *scored) fill(at []int, train, test *scores, joint bool) error {
	fit := train.fitIntercept
	if joint {
		fit = train.fitJoint
	}
	model, err := fit()
	if err != nil {
		return err
	}
	for k, i := range at {
		nats := test.sum[k]
		for f, d := range model.Coef {
			nats += d * test.nats[k][f]
		}
		all.db[i], all.p[i] = perNat*nats, sigmoid(model.Intercept+nats)
	}
	return nil
}

func (all *scored) quality(copies []bool) Quality {
	gains := make([]float64, len(copies))
	for i, is := range copies {
		if is {
			gains[i] = 1
		}
	}
	q := Quality{AveragePrecision: AveragePrecision(copies, all.db), ROCArea: ROCArea(copies, all.db), NDCG: NDCG(gains, all.db),
		Brier: Brier(copies, all.p), Bins: Reliability(copies, all.p), Curve: Curve(copies, all.p)}
	for _, k := range []int{10, 50} {
		share, ok := PrecisionAt(copies, all.db, k)
		q.At = append(q.At, Precision{k, share, ok})
	}
	return q
}
