package ring_test

import (
	"fmt"
	"sync/atomic"

	"example.org/kerfleaf/internal/ring"
)

func ExampleParts() {
	var sum atomic.Int64
	ring.Parts(10, 4, func(part, from, to int) { sum.Add(int64(part * (to - from))) })
	fmt.Println(sum.Load()) // 4 of part 0, 4 of part 1, 2 of part 2
	// Output: 8
}

func ExampleTree_SearchIf() {
	t := ring.NewTree([]ring.Box{{MinX: 0, MinY: 0, MaxX: 1, MaxY: 1}, {MinX: 2, MinY: 0, MaxX: 3, MaxY: 1}})
	q := ring.Box{MinX: 0.5, MinY: 0.5, MaxX: 2.5, MaxY: 0.6}
	fmt.Println(t.Search(q, nil), t.SearchIf(q, func(b *ring.Box) bool { return b.MaxX > 2 }, nil))
	// Output: [0 1] [1]
}
