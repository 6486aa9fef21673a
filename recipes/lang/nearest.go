package lang

import (
	"slices"
	"strings"
)

// suggester finds what a misspelt word may have meant, within a budget: a
// hostile recipe may hold very many misspelt words.
type suggester struct{ work int }

// suggestWork bounds the work of all suggestions for one recipe, in cells of
// the distance tables: some tens of milliseconds.
const suggestWork = 10_000_000

// longest is the longest word that is compared, in bytes.
const longest = 64

// shortest is how many letters of a longer word have to be there to tell it.
const shortest = 3

// Nearest returns the candidate that a misspelt word most likely meant, or "".
func Nearest(word string, candidates []string) string {
	return new(suggester).nearest(word, candidates)
}

// nearest returns the candidate with the least edit distance to word, if that
// is small against its length, else "". The first wins among equals. A word that
// is cut short means the one candidate that goes on, unless another is a single
// slip away.
func (s *suggester) nearest(word string, candidates []string) string {
	return s.nearestBut(word, candidates, "")
}

// nearestBut is nearest without one of the candidates.
func (s *suggester) nearestBut(word string, candidates []string, not string) string {
	if len(word) > longest {
		return ""
	}
	whole, longer := "", 0
	if len(strings.TrimLeft(word, "-")) >= shortest {
		for _, c := range candidates {
			if c != not && strings.HasPrefix(c, word) {
				whole, longer = c, longer+1
			}
		}
	}
	best, least := "", 1+max(1, (len(word)+1)/3)
	for _, c := range candidates {
		if d := len(c) - len(word); d >= least || -d >= least || len(c) > longest || c == not {
			continue
		}
		if s.work += len(word) * len(c); s.work > suggestWork {
			break
		}
		if d := distance(word, c); d < least {
			best, least = c, d
		}
	}
	if longer == 1 && least > 1 {
		return whole
	}
	return best
}

// longer returns the candidates that go on where a word is cut short; without any,
// those that hold it elsewhere.
func longer(word string, candidates []string) []string {
	if len(word) < shortest {
		return nil
	}
	for _, holds := range []func(s, part string) bool{strings.HasPrefix, strings.Contains} {
		more := slices.DeleteFunc(slices.Clone(candidates), func(c string) bool { return !holds(c, word) })
		if len(more) > 0 {
			return more
		}
	}
	return nil
}

// distance is the least number of insertions, deletions, replacements and
// swaps of neighbours that make a from b, no part edited twice (optimal string
// alignment). Neither is longer than longest.
func distance(a, b string) int {
	var rows [3][longest + 1]int
	prev2, prev, row := &rows[0], &rows[1], &rows[2]
	for j := range prev {
		prev[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			same := 1
			if a[i-1] == b[j-1] {
				same = 0
			}
			row[j] = min(prev[j]+1, row[j-1]+1, prev[j-1]+same)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], prev2[j-2]+1)
			}
		}
		prev2, prev, row = prev, row, prev2
	}
	return prev[len(b)]
}
