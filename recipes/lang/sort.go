package lang

import (
	"cmp"
	"container/heap"
	"fmt"
	"slices"
	"strings"
)

// sort puts the blocks into the order of their needs and, apart from that, of
// their hanging. Circles are faults: their blocks fail, what depends on them
// stays silent.
func (r *reader) sort() {
	var circles [][]*block
	r.order, circles = r.inOrder(func(b *block) []need { return b.needs }, "a circle of needs", "let one of them not depend on the other: give a number there")
	for _, b := range slices.Concat(circles...) {
		b.state = failed
	}
	r.pose, _ = r.inOrder(func(b *block) []need { return b.hangs }, "a circle of hanging", "something has to hang free")
}

// inOrder returns the blocks so that each stands after those that it needs,
// else in file order, and the circles, which are reported and stand first.
func (r *reader) inOrder(needs func(*block) []need, what, fix string) (order []*block, found [][]*block) {
	found = circles(r.blocks, needs)
	in := make([]bool, len(r.blocks)) // a circle
	for _, c := range found {
		r.reportCircle(c, needs, what, fix)
		for _, b := range c {
			in[b.index] = true
		}
	}
	waits := make([]int, len(r.blocks)) // for so many blocks
	after := make([][]*block, len(r.blocks))
	var ready byIndex
	for _, b := range r.blocks {
		if in[b.index] {
			order = append(order, b)
			continue
		}
		for _, n := range needs(b) {
			if !in[n.to.index] {
				waits[b.index]++
				after[n.to.index] = append(after[n.to.index], b)
			}
		}
		if waits[b.index] == 0 {
			ready = append(ready, b) // ascending, so already a heap
		}
	}
	for len(ready) > 0 {
		b := heap.Pop(&ready).(*block)
		order = append(order, b)
		for _, a := range after[b.index] {
			if waits[a.index]--; waits[a.index] == 0 {
				heap.Push(&ready, a)
			}
		}
	}
	return order, found
}

// byIndex is a heap of blocks, first in the file on top.
type byIndex []*block

func (h byIndex) Len() int           { return len(h) }
func (h byIndex) Less(i, j int) bool { return h[i].index < h[j].index }
func (h byIndex) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *byIndex) Push(x any)        { *h = append(*h, x.(*block)) }
func (h *byIndex) Pop() any {
	last := len(*h) - 1
	b := (*h)[last]
	*h = (*h)[:last]
	return b
}

// circles returns the groups of blocks that need each other, each in file
// order: the strongly connected components with an edge inside (R. Tarjan,
// "Depth-first search and linear graph algorithms", 1972).
func circles(blocks []*block, needs func(*block) []need) [][]*block {
	var (
		found  [][]*block
		stack  []*block
		number = make([]int, len(blocks)) // order of discovery, from 1
		low    = make([]int, len(blocks))
		open   = make([]bool, len(blocks))
		next   = 1
		visit  func(b *block)
	)
	visit = func(b *block) { // at most maxBlocks deep
		i := b.index
		number[i], low[i] = next, next
		next++
		stack, open[i] = append(stack, b), true
		self := false
		for _, n := range needs(b) {
			j := n.to.index
			self = self || i == j
			if number[j] == 0 {
				visit(n.to)
				low[i] = min(low[i], low[j])
			} else if open[j] {
				low[i] = min(low[i], number[j])
			}
		}
		if low[i] != number[i] {
			return
		}
		at := slices.Index(stack, b)
		group := slices.Clone(stack[at:])
		stack = stack[:at]
		for _, g := range group {
			open[g.index] = false
		}
		if len(group) > 1 || self {
			slices.SortFunc(group, func(x, y *block) int { return x.index - y.index })
			found = append(found, group)
		}
	}
	for _, b := range blocks {
		if number[b.index] == 0 {
			visit(b)
		}
	}
	return found
}

// reportCircle names every link of the shortest circle through the first block
// of a group.
func (r *reader) reportCircle(group []*block, needs func(*block) []need, what, fix string) {
	const most = 12 // links that are named
	path := shortestCircle(group, needs)
	var links []string
	from := group[0]
	out := ""
	for _, n := range path {
		if n.word != "" && out == "" && len(path) > 1 {
			out = r.wayOut(from, n)
		}
		if len(links) == most {
			links = append(links, fmt.Sprintf("and %d more links", len(path)-most))
			break
		}
		links = append(links, fmt.Sprintf("%s needs %s (line %d: %s)", from.head.Address, n.to.head.Address, n.at.Line, n.why))
		from = n.to
	}
	summary := what + " through " + group[0].head.Address
	if len(path) == 1 {
		summary = group[0].head.Address + " needs itself"
	}
	r.fault(path[0].at, summary, strings.Join(append(links, cmp.Or(out, fix)), "\n"))
}

// wayOut says how a formula of a block steps out of a circle: what both sides follow
// from becomes a dial, of a name that is still free.
func (r *reader) wayOut(from *block, n need) string {
	dial := from.head.Name
	if from.kind.Title {
		dial = from.kind.Name
	}
	if n.word != "value" {
		dial += "_" + n.word
	}
	for free, i := dial, 2; r.names["dial."+dial] != nil; i++ {
		dial = fmt.Sprintf("%s_%d", free, i)
	}
	return fmt.Sprintf("the way out is one dial for both: write dial %q { value = ... }, and in line %d %s = dial.%s", dial, n.at.Line, n.word, dial)
}

// shortestCircle returns the needs along the shortest way from the first block
// of a group back to itself.
func shortestCircle(group []*block, needs func(*block) []need) []need {
	type step struct {
		need need
		from *block
	}
	start := group[0]
	inside := map[*block]bool{}
	for _, b := range group {
		inside[b] = true
	}
	came := map[*block]step{}
	for queue := []*block{start}; len(queue) > 0; queue = queue[1:] {
		for _, n := range needs(queue[0]) {
			if !inside[n.to] || came[n.to].from != nil {
				continue
			}
			came[n.to] = step{n, queue[0]}
			queue = append(queue, n.to)
		}
		if came[start].from != nil {
			break
		}
	}
	var path []need
	for at := start; ; {
		s := came[at]
		path = append(path, s.need)
		if at = s.from; at == start {
			break
		}
	}
	slices.Reverse(path)
	return path
}
