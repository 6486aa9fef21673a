package papers

import (
	"fmt"
	"strings"
)

// named is something that is said of a block, and ends with the block's name:
// "bore of link upper", of "link.upper".
type named struct{ says, address string }

// name is the block's name, "" where the words do not end with it.
func (n named) name() string {
	_, name, _ := strings.Cut(n.address, ".")
	if !strings.HasSuffix(n.says, " "+name) {
		return ""
	}
	return name
}

// stem is what is said without the block's name.
func (n named) stem() string { return strings.TrimSuffix(n.says, n.name()) }

func (s Surface) named() named { return named{s.What, s.Part} }
func (s Surface) kind() string { return s.named().stem() + s.Why }

func (d Dimension) named() named { return named{d.What, d.Part} }
func (d Dimension) kind() string {
	return fmt.Sprintf("%s%g %g %g %s", d.named().stem(), d.Value, d.Minus, d.Plus, d.Why)
}

// alike gathers what is of one kind, in the order in which kinds come first.
func alike[T interface{ kind() string }](all []T) [][]T {
	var groups [][]T
	at := map[string]int{}
	for _, v := range all {
		i, ok := at[v.kind()]
		if !ok {
			i = len(groups)
			at[v.kind()] = i
			groups = append(groups, nil)
		}
		groups[i] = append(groups[i], v)
	}
	return groups
}

// inOne says of several blocks in one what is said of each: "bore of link upper,
// middle, lower".
func inOne[T interface{ named() named }](group []T) string {
	said := group[0].named().says
	for _, v := range group[1:] {
		said += ", " + v.named().name()
	}
	return said
}
