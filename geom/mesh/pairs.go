package mesh

// PairTask is a share of the work of finding close pairs.
type PairTask struct{ a, b uint32 }

// PairTasks divides the search for pairs of triangles whose boxes meet into
// tasks that may run at once: the same tasks in the same order for any number
// of processors.
func (t *Tree) PairTasks() []PairTask {
	const enough = 1024
	if len(t.node) == 0 {
		return nil
	}
	tasks := []PairTask{{0, 0}}
	for {
		var next []PairTask
		for _, k := range tasks {
			next = t.expand(next, k)
		}
		if len(next) == len(tasks) || len(next) > enough {
			return next
		}
		tasks = next
	}
}

// expand appends what task k consists of, or k itself if it can't be divided.
func (t *Tree) expand(to []PairTask, k PairTask) []PairTask {
	a, b := &t.node[k.a], &t.node[k.b]
	switch {
	case k.a == k.b && a.n > 0:
		return append(to, k)
	case k.a == k.b:
		l, r := a.first, a.first+1
		return append(to, PairTask{l, l}, PairTask{r, r}, PairTask{l, r})
	case !a.meets(&b.box32):
		return to
	case a.n > 0 && b.n > 0:
		return append(to, k)
	case b.n > 0 || a.n == 0 && a.area() >= b.area(): // open the larger
		return append(to, PairTask{a.first, k.b}, PairTask{a.first + 1, k.b})
	default:
		return append(to, PairTask{k.a, b.first}, PairTask{k.a, b.first + 1})
	}
}

// Pairs calls f once for every pair of different triangles of the task whose
// boxes (rounded outwards to float32) meet, until f returns false. Over all
// tasks every such pair comes exactly once.
func (t *Tree) Pairs(k PairTask, f func(a, b uint32) bool) {
	var room [4 * maxDepth]PairTask
	stack := room[:0]
	if k.a == k.b || t.node[k.a].meets(&t.node[k.b].box32) {
		stack = append(stack, k)
	}
	for len(stack) > 0 { // of pairs of nodes that meet
		k := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		a, b := &t.node[k.a], &t.node[k.b]
		switch {
		case a.n > 0 && b.n > 0:
			if !t.leaves(a, b, f) {
				return
			}
		case k.a == k.b:
			l, r := a.first, a.first+1
			stack = append(stack, PairTask{l, l}, PairTask{r, r})
			if t.node[l].meets(&t.node[r].box32) {
				stack = append(stack, PairTask{l, r})
			}
		case a.n > 0: // open the other
			stack = t.open(stack, b.first, k.a, a)
		case b.n > 0:
			stack = t.open(stack, a.first, k.b, b)
		default:
			for i := a.first; i < a.first+2; i++ {
				if c := &t.node[i]; c.meets(&b.box32) {
					stack = t.open(stack, b.first, i, c)
				}
			}
		}
	}
}

// open appends the pairs of the node named with two children, from first,
// where they meet.
func (t *Tree) open(stack []PairTask, first, name uint32, n *node) []PairTask {
	if t.node[first].meets(&n.box32) {
		stack = append(stack, PairTask{first, name})
	}
	if t.node[first+1].meets(&n.box32) {
		stack = append(stack, PairTask{first + 1, name})
	}
	return stack
}

// leaves calls f for the pairs between two leaves, or within one.
func (t *Tree) leaves(a, b *node, f func(a, b uint32) bool) bool {
	for i := a.first; i < a.first+a.n; i++ {
		from := b.first
		if a == b {
			from = i + 1
		}
		bi := &t.box[i]
		if a != b && !bi.meets(&b.box32) {
			continue
		}
		for j := from; j < b.first+b.n; j++ {
			if bi.meets(&t.box[j]) && !f(t.tri[i], t.tri[j]) {
				return false
			}
		}
	}
	return true
}
