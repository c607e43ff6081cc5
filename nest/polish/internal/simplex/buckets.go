package simplex

// buckets keeps items in doubly linked lists by a count.
type buckets struct {
	head       []int32 // by count
	next, prev []int32 // by item; prev of a list's first item is -1
	count      []int32 // by item; -1 for an item in no list
}

func (b *buckets) reset(n int) {
	if cap(b.next) < n {
		b.head = make([]int32, n+1)
		b.next = make([]int32, n)
		b.prev = make([]int32, n)
		b.count = make([]int32, n)
	}
	b.head, b.next, b.prev, b.count = b.head[:n+1], b.next[:n], b.prev[:n], b.count[:n]
	for i := range b.head {
		b.head[i] = -1
	}
	for i := range b.count {
		b.count[i] = -1
	}
}

func (b *buckets) insert(item int32, count int) {
	first := b.head[count]
	b.next[item], b.prev[item], b.count[item] = first, -1, int32(count)
	if first >= 0 {
		b.prev[first] = item
	}
	b.head[count] = item
}

func (b *buckets) remove(item int32) {
	if b.count[item] < 0 {
		return
	}
	next, prev := b.next[item], b.prev[item]
	if prev >= 0 {
		b.next[prev] = next
	} else {
		b.head[b.count[item]] = next
	}
	if next >= 0 {
		b.prev[next] = prev
	}
	b.count[item] = -1
}

// move puts an item into the list of another count, if it is in one at all.
func (b *buckets) move(item int32, count int) {
	if b.count[item] < 0 || int(b.count[item]) == count {
		return
	}
	b.remove(item)
	b.insert(item, count)
}
