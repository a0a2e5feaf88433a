package eval_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/eval"
)

// What an earlier plan records as harvested can be planned from.
func TestHarvestsOfAnEarlierPlan(t *testing.T) {
	plan := files("2027/farm.star", `farm("Ferry Bank", year = 2027)
last = previous("../2026")
for name, mass in last.harvests.items():
    print(name, mass)
`, "2026/farm.star", `load("crops", "bell_pepper", "okra", "radish")
farm("Ferry Bank", year = 2026)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
red = bell_pepper.variety("Lantern Red")
peppers = plant(row(bench, at = 4 * ft), red, fill = True, on = "2026-05-15")
pods = row(bench, at = 8 * ft)
sow(pods, okra, fill = True, on = "2026-05-22")
harvested(peppers, mass = 10 * lb, on = "2026-08-02")
harvested(red, mass = 5 * lb, on = "2026-08-09")
harvested(pods, mass = 2 * lb, on = "2026-08-09")
harvested(bench, mass = 1 * lb, on = "2026-08-10")
record("record.csv")
`, "2026/record.csv", "date,plot,row,crop,weight (lb),pieces\n2026-08-16,Lower bench,1,lantern red,4,\n2026-08-16,Lower bench,2,Okra/1,3,\n2026-08-20,Lower bench,2,okra,,40\n")
	r := eval.Run(context.Background(), plan, "2027/farm.star")
	require.Empty(t, codes(r.Findings))
	var said []string
	for _, l := range r.Log {
		said = append(said, l.Text)
	}
	require.Equal(t, []string{"bell pepper 'Lantern Red' 19 lb", "okra 5 lb"}, said)
}
