package table_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/stdlib/table"
)

const seeds = "crop,days,other names,weight\nbeet,50-60,beetroot|red beet,\nkale,\"55\",,0.5\n"

func TestRead(t *testing.T) {
	rows := table.Read("seeds.csv", seeds)
	require.Len(t, rows, 2)
	beet, kale := rows[0], rows[1]
	require.Equal(t, "beet", beet.Text("crop"))
	require.Equal(t, []string{"beetroot", "red beet"}, beet.List("other names"))
	require.Empty(t, kale.List("other names"))
	require.Equal(t, -1.0, beet.Number("weight", -1))
	require.Equal(t, 0.5, kale.Number("weight", -1))
	low, high := beet.Span("days")
	require.Equal(t, [2]float64{50, 60}, [2]float64{low, high})
	low, high = kale.Span("days")
	require.Equal(t, [2]float64{55, 55}, [2]float64{low, high})
	low, high = kale.Span("other names")
	require.Zero(t, low+high)
}

// A fault in a table names the file, the line and the column.
func TestFaults(t *testing.T) {
	require.PanicsWithValue(t, `seeds.csv has no column "price"`, func() { table.Read("seeds.csv", seeds)[0].Text("price") })
	require.PanicsWithValue(t, `seeds.csv: line 2: crop: strconv.ParseFloat: parsing "beet": invalid syntax`,
		func() { table.Read("seeds.csv", seeds)[0].Number("crop", 0) })
	require.PanicsWithValue(t, `seeds.csv: line 3: crop: strconv.ParseFloat: parsing "kale": invalid syntax`,
		func() { table.Read("seeds.csv", seeds)[1].Span("crop") })
	require.Panics(t, func() { table.Read("seeds.csv", "a,b\n1\n") })
}
