package document

import (
	"slices"
	"unicode/utf8"
)

// longestWord is the most characters of a word that Nearest compares.
const longestWord = 64

// Nearest is the known words that a misspelt word may stand for, at most three, nearest first, in the order given
// where equally near. Distance is Damerau-Levenshtein with adjacent transpositions (each pair once); a third of the
// longer word may differ, at least one character.
func Nearest(word string, known []string) []string {
	if word == "" || len(word) > 4*longestWord || utf8.RuneCountInString(word) > longestWord {
		return nil
	}
	type near struct {
		word     string
		distance int
	}
	var all []near
	w := []rune(word)
	for _, k := range known {
		r := []rune(k)
		limit := max(1, max(len(w), len(r))/3)
		if len(r) == 0 || len(r) > longestWord || max(len(w)-len(r), len(r)-len(w)) > limit {
			continue
		}
		if d := distance(w, r); d <= limit && d < max(len(w), len(r)) {
			all = append(all, near{k, d})
		}
	}
	slices.SortStableFunc(all, func(a, b near) int { return a.distance - b.distance })
	var out []string
	for _, n := range all[:min(3, len(all))] {
		out = append(out, n.word)
	}
	return out
}

// distance is the optimal string alignment distance.
func distance(a, b []rune) int {
	var rows [3][longestWord + 1]int
	before, last, now := &rows[0], &rows[1], &rows[2]
	for j := range len(b) + 1 {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		now[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			d := min(last[j]+1, now[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d = min(d, before[j-2]+1)
			}
			now[j] = d
		}
		before, last, now = last, now, before
	}
	return last[len(b)]
}
