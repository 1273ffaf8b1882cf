package parse

import "counterfoil/parse/listing"

// toldAnew gives the problems that extracts tell of, each list of one source: without
// those that this run met itself or that another source tells as well, and without
// photos that no listing of one part of the input names, but one of another part
// does. What could not be read counts once.
func toldAnew(met []listing.Problem, told [][]listing.Problem, named func(photo string) bool) (list []listing.Problem) {
	if len(told) == 0 {
		return nil
	}
	times := map[listing.Problem]int{}
	for _, p := range met {
		times[p]++
	}
	for _, source := range told {
		here := map[listing.Problem]int{}
		for _, p := range source {
			if p == unusedPhoto(p.File) && named(p.File) {
				continue
			}
			if here[p]++; here[p] > times[p] {
				times[p]++
				list = append(list, p)
			}
		}
	}
	return list
}

// named tells whether a listing names a photo.
func named(list []*listing.Listing) func(photo string) bool {
	var files map[string]bool // made when it is asked
	return func(photo string) bool {
		if files == nil {
			files = map[string]bool{}
			for _, l := range list {
				for i := range l.Photos {
					files[l.Photos[i].File] = true
				}
			}
		}
		return files[photo]
	}
}
