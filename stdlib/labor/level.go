package labor

import "container/heap"

// Task is work that can be split over the weeks from First to Last.
type Task struct {
	Hours       float64
	First, Last int   // weeks, from 0; Last is at least First
	After       []int // tasks, by their place in the list, that must be finished before this one is begun
}

// Share is what is done of a task in a week.
type Share struct {
	Task, Week int
	Hours      float64
	Over       bool // the week has no room for it: it is the last one in which it may be done
}

// Level gives every hour of the tasks a week. Week by week the hours that there are go to the tasks that may be
// worked on, the most urgent first (the one whose last week, or that of anything that waits for it, comes soonest), in
// the order of the list where two are alike; what is left goes on next week. What has not been done when its last week ends is done in that week over and above the hours
// that there are. With one crew and work that can be split, this rule finds an order in which everything fits
// whenever there is one (Horn, Naval Research Logistics Quarterly 21, 1974). A task that waits for another past
// its own last week is done as soon as that one is. A circle of tasks that wait for one another is broken by
// doing them in their last weeks.
//
// The shares are by week, in the order in which they are done. Hours in are hours out.
func Level(tasks []Task, hours []float64) []Share {
	if len(hours) == 0 {
		return nil
	}
	l := &leveler{tasks: tasks, left: make([]float64, len(tasks)), waits: make([]int, len(tasks)), then: make([][]int, len(tasks)), state: make([]uint8, len(tasks)), urgent: make([]int, len(tasks))}
	for i, t := range tasks {
		l.left[i] = t.Hours
		for _, before := range t.After {
			if before != i {
				l.waits[i]++
				l.then[before] = append(l.then[before], i)
			}
		}
	}
	for i := range tasks {
		l.urgent[i] = -1
	}
	for i := range tasks {
		l.urgency(i)
	}
	starts := make([][]int, len(hours))
	ends := make([][]int, len(hours))
	for i, t := range tasks {
		starts[clamp(t.First, len(hours))] = append(starts[clamp(t.First, len(hours))], i)
		ends[clamp(t.Last, len(hours))] = append(ends[clamp(t.Last, len(hours))], i)
	}
	for week, room := range hours {
		l.week = week
		for _, i := range starts[week] {
			l.open(i)
		}
		l.work(room)
		for _, i := range ends[week] {
			l.late(i)
		}
		l.workLate()
	}
	return l.shares
}

// urgency gives the soonest last week of a task and of all that wait for it; a circle counts its own weeks only.
func (l *leveler) urgency(i int) int {
	if l.urgent[i] >= 0 {
		return l.urgent[i]
	}
	l.urgent[i] = l.tasks[i].Last
	for _, next := range l.then[i] {
		l.urgent[i] = min(l.urgent[i], l.urgency(next))
	}
	return l.urgent[i]
}

func clamp(week, weeks int) int { return max(0, min(week, weeks-1)) }

// States of a task.
const (
	waiting uint8 = iota // for its first week
	opened               // its week has come, others must be done before
	ready                // it is among those to be worked on
	finished
)

type leveler struct {
	tasks  []Task
	left   []float64
	waits  []int   // how many of After are not finished
	then   [][]int // those that wait for it
	state  []uint8
	urgent []int
	queue  []int // a heap of those that are ready
	due    []int // late ones to be done this week
	week   int
	shares []Share
}

func (l *leveler) open(i int) {
	if l.state[i] == waiting {
		l.state[i] = opened
	}
	l.tryReady(i)
}

func (l *leveler) tryReady(i int) {
	if l.state[i] == opened && l.waits[i] == 0 {
		l.state[i] = ready
		heap.Push(l, i)
	}
}

func (l *leveler) finish(i int) {
	l.state[i] = finished
	for _, next := range l.then[i] {
		l.waits[next]--
		l.tryReady(next)
		if l.tasks[next].Last <= l.week {
			l.late(next)
		}
	}
}

// work spends the hours that there are.
func (l *leveler) work(room float64) {
	for len(l.queue) > 0 {
		i := l.queue[0]
		if l.state[i] != ready {
			heap.Pop(l)
			continue
		}
		if room <= 0 && l.left[i] > 0 {
			return
		}
		done := min(room, l.left[i])
		room -= done
		l.left[i] -= done
		if done > 0 {
			l.shares = append(l.shares, Share{i, l.week, done, false})
		}
		if l.left[i] > 0 {
			return
		}
		heap.Pop(l)
		l.finish(i)
	}
}

// late marks a task whose last week is over, or past.
func (l *leveler) late(i int) {
	if l.state[i] != finished {
		l.due = append(l.due, i)
	}
}

// workLate does what is due over and above the hours: first what nothing is waited for, then what that frees,
// then, of what is left, those in a circle and those whose forerunner comes later, which wait for it.
func (l *leveler) workLate() {
	var kept []int
	for len(l.due) > 0 {
		i := l.due[0]
		l.due = l.due[1:]
		switch {
		case l.state[i] == finished:
		case l.waits[i] == 0:
			if l.left[i] > 0 {
				l.shares = append(l.shares, Share{i, l.week, l.left[i], true})
			}
			l.left[i] = 0
			l.finish(i)
		default:
			kept = append(kept, i)
		}
	}
	for _, i := range kept {
		if l.state[i] != finished && l.inCircle(i) {
			l.waits[i] = 0
			l.due = append(l.due, i)
			l.workLate()
		}
	}
}

// inCircle tells whether a task waits, through others, for itself, or whether nothing that it waits for can come any more.
func (l *leveler) inCircle(i int) bool {
	seen := map[int]bool{}
	var reach func(int) bool
	reach = func(k int) bool {
		for _, before := range l.tasks[k].After {
			if before == i {
				return true
			}
			if l.state[before] != finished && !seen[before] {
				seen[before] = true
				if reach(before) {
					return true
				}
			}
		}
		return false
	}
	return reach(i)
}

// The heap of ready tasks: most urgent first, then by place in the list.

func (l *leveler) Len() int { return len(l.queue) }
func (l *leveler) Less(a, b int) bool {
	i, k := l.queue[a], l.queue[b]
	if l.urgent[i] != l.urgent[k] {
		return l.urgent[i] < l.urgent[k]
	}
	return i < k
}
func (l *leveler) Swap(a, b int) { l.queue[a], l.queue[b] = l.queue[b], l.queue[a] }
func (l *leveler) Push(x any)    { l.queue = append(l.queue, x.(int)) }
func (l *leveler) Pop() any {
	last := len(l.queue) - 1
	i := l.queue[last]
	l.queue = l.queue[:last]
	return i
}
