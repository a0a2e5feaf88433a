package labor

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestLevel(t *testing.T) {
	week := func(hours ...float64) []float64 { return hours }
	tests := []struct {
		name  string
		tasks []Task
		hours []float64
		want  []Share
	}{
		{"nothing", nil, week(10), nil},
		{"no weeks", []Task{{Hours: 3}}, nil, nil},
		{"as soon as it can", []Task{{Hours: 3, First: 1, Last: 2}}, week(10, 10, 10), []Share{{0, 1, 3, false}}},
		{"soonest due first, the rest goes on", []Task{{Hours: 8, First: 0, Last: 2}, {Hours: 6, First: 0, Last: 0}}, week(10, 10, 10),
			[]Share{{1, 0, 6, false}, {0, 0, 4, false}, {0, 1, 4, false}}},
		{"alike ones in their order", []Task{{Hours: 6, Last: 1}, {Hours: 6, Last: 1}}, week(10, 10), []Share{{0, 0, 6, false}, {1, 0, 4, false}, {1, 1, 2, false}}},
		{"what does not fit stays in its last week", []Task{{Hours: 25, Last: 1}}, week(10, 10, 10), []Share{{0, 0, 10, false}, {0, 1, 10, false}, {0, 1, 5, true}}},
		{"one after the other", []Task{{Hours: 4, Last: 2, After: []int{1}}, {Hours: 12, Last: 2}}, week(10, 10, 10),
			[]Share{{1, 0, 10, false}, {1, 1, 2, false}, {0, 1, 4, false}}},
		{"what others wait for is as urgent as they", []Task{{Hours: 8, Last: 5}, {Hours: 8, Last: 5}, {Hours: 8, First: 1, Last: 1, After: []int{1}}}, week(8, 8, 8, 8, 8, 8),
			[]Share{{1, 0, 8, false}, {2, 1, 8, false}, {0, 2, 8, false}}},
		{"too late, because it waits", []Task{{Hours: 4, Last: 0, After: []int{1}}, {Hours: 12, Last: 1}}, week(10, 10), []Share{{1, 0, 10, false}, {1, 1, 2, false}, {0, 1, 4, false}}},
		{"a circle", []Task{{Hours: 4, Last: 1, After: []int{1}}, {Hours: 3, Last: 0, After: []int{0}}, {Hours: 2, Last: 1, After: []int{0}}}, week(10, 10),
			[]Share{{1, 0, 3, true}, {0, 1, 4, false}, {2, 1, 2, false}}},
		{"waiting for itself", []Task{{Hours: 4, Last: 1, After: []int{0}}}, week(10, 10), []Share{{0, 0, 4, false}}},
		{"a week off", []Task{{Hours: 4, Last: 1}}, week(0, 10), []Share{{0, 1, 4, false}}},
		{"nobody at all", []Task{{Hours: 4, Last: 1}}, week(0, 0), []Share{{0, 1, 4, true}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { require.Equal(t, tt.want, Level(tt.tasks, tt.hours)) })
	}
}

// Hours in are hours out, none before its task's first week, within what the week has but for what is over, and
// nothing is done after its last week unless it had to wait.
func TestLevelLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		weeks := rapid.IntRange(1, 8).Draw(t, "weeks")
		hours := make([]float64, weeks)
		for i := range hours {
			hours[i] = float64(rapid.IntRange(0, 20).Draw(t, "hours"))
		}
		tasks := make([]Task, rapid.IntRange(0, 12).Draw(t, "tasks"))
		for i := range tasks {
			first := rapid.IntRange(0, weeks-1).Draw(t, "first")
			tasks[i] = Task{Hours: float64(rapid.IntRange(0, 15).Draw(t, "long")), First: first, Last: rapid.IntRange(first, weeks-1).Draw(t, "last")}
			if rapid.IntRange(0, 2).Draw(t, "waits") == 0 {
				tasks[i].After = rapid.SliceOfNDistinct(rapid.IntRange(0, len(tasks)-1), 0, min(2, len(tasks)), rapid.ID[int]).Draw(t, "after")
			}
		}
		shares := Level(tasks, hours)
		done, used, end := make([]float64, len(tasks)), make([]float64, weeks), make([]int, len(tasks))
		for i, s := range shares {
			require.GreaterOrEqual(t, s.Week, tasks[s.Task].First)
			require.Greater(t, s.Hours, 0.0)
			if i > 0 {
				require.GreaterOrEqual(t, s.Week, shares[i-1].Week)
			}
			done[s.Task] += s.Hours
			end[s.Task] = s.Week
			if s.Over {
				require.GreaterOrEqual(t, s.Week, tasks[s.Task].Last)
			} else {
				used[s.Week] += s.Hours
			}
			if len(tasks[s.Task].After) == 0 {
				require.LessOrEqual(t, s.Week, tasks[s.Task].Last)
			}
		}
		for i, task := range tasks {
			require.InDelta(t, task.Hours, done[i], 1e-9)
		}
		for i := range hours {
			require.LessOrEqual(t, used[i], hours[i]+1e-9)
		}
		require.Equal(t, shares, Level(tasks, hours))
	})
}

// Without waiting, nothing is over when all of it fits: in every span of weeks, the hours of the tasks that must be
// done within it are no more than those there are.
func TestLevelFitsWhatFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		weeks := rapid.IntRange(1, 6).Draw(t, "weeks")
		hours := make([]float64, weeks)
		for i := range hours {
			hours[i] = float64(rapid.IntRange(0, 20).Draw(t, "hours"))
		}
		tasks := make([]Task, rapid.IntRange(1, 10).Draw(t, "tasks"))
		for i := range tasks {
			first := rapid.IntRange(0, weeks-1).Draw(t, "first")
			tasks[i] = Task{Hours: float64(rapid.IntRange(1, 12).Draw(t, "long")), First: first, Last: rapid.IntRange(first, weeks-1).Draw(t, "last")}
		}
		fits := true
		for from := range weeks {
			room := 0.0
			for to := from; to < weeks; to++ {
				room += hours[to]
				need := 0.0
				for _, task := range tasks {
					if task.First >= from && task.Last <= to {
						need += task.Hours
					}
				}
				fits = fits && need <= room
			}
		}
		over := false
		for _, s := range Level(tasks, hours) {
			over = over || s.Over
		}
		require.Equal(t, fits, !over)
	})
}
