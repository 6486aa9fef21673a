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
	stack := make([]PairTask, 0, 4*maxDepth)
	stack = append(stack, k)
	for len(stack) > 0 {
		k := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		a, b := &t.node[k.a], &t.node[k.b]
		if k.a != k.b && !a.meets(&b.box32) {
			continue
		}
		if a.n == 0 || b.n == 0 {
			stack = t.expand(stack, k)
			continue
		}
		for i := a.first; i < a.first+a.n; i++ {
			from := b.first
			if k.a == k.b {
				from = i + 1
			}
			bi := &t.box[i]
			for j := from; j < b.first+b.n; j++ {
				if bi.meets(&t.box[j]) && !f(t.tri[i], t.tri[j]) {
					return
				}
			}
		}
	}
}
