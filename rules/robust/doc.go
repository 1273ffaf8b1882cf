// Package robust computes statistics that a few wild values do not spoil:
// median, median absolute deviation, modified z-scores, intervals for the
// median, the Hodges-Lehmann estimate, quantiles, the dip of a sample and its
// largest gap.
//
// It works on plain numbers. Values must be finite; a sample with NaN or an
// infinity gives NaN and a warning. The caller's slice is never reordered.
// Results state the number of values, a measure of spread and what is in doubt.
//
// The files: sample.go the sorted sample and its leave-one-out figures,
// scale.go factors and scores, interval.go the interval for the median,
// hodges.go Hodges-Lehmann and Wilcoxon, quantile.go quantiles, dip.go the dip
// test, gap.go the largest gap, core.go the group of values that low strangers do
// not move.
package robust
