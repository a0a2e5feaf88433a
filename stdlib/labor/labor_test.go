package labor

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestRatesRead(t *testing.T) {
	rates := readRates(ratesCSV)
	require.NotEmpty(t, rates)
	seen := map[rateKey]bool{}
	for _, r := range rates {
		k := rateKey{r.Job, r.Crop, r.Per}
		require.False(t, seen[k], "%v stands twice", k)
		seen[k] = true
		require.Contains(t, []string{"A", "B", "C", "M"}, r.Grade)
		require.LessOrEqual(t, r.Low, r.High)
	}
}

func TestFind(t *testing.T) {
	const acre, foot, pound = 4046.8564224, 0.3048, 0.45359237
	tests := []struct {
		job, crop string
		pers      []string
		low, high float64 // s for each
		per       string
	}{
		{"weeding", "okra", []string{"m2", "m"}, 5 * 60 / (100 * foot), 15 * 60 / (100 * foot), "m"},
		{"spraying", "okra", []string{"m2", "m"}, 1.5 * 3600 / acre, 3 * 3600 / acre, "m2"},
		{"planting", "okra", []string{"plant"}, 9, 18, "plant"},
		{"picking", "okra", []string{"kg"}, 3600 / (30 * pound), 3600 / (15 * pound), "kg"},
		{"picking", "zinnia", []string{"stem", "kg"}, 12, 24, "stem"},
		{"picking", "carrot", []string{"kg"}, 3600 / (145 * pound), 3600 / (145 * pound), "kg"}, // by the average of all
		{"picking", "kale", []string{"bunch", "kg"}, 60, 120, "bunch"},
		{"pruning", "cherry tomato", []string{"m2", "plant"}, 30, 60, "plant"},
	}
	for _, tt := range tests {
		t.Run(tt.job+" "+tt.crop, func(t *testing.T) {
			r := Find(tt.job, tt.crop, tt.pers...)
			require.NotNil(t, r)
			require.Equal(t, tt.per, r.Per)
			require.InEpsilon(t, tt.low, r.Low, 1e-12)
			require.InEpsilon(t, tt.high, r.High, 1e-12)
			require.InEpsilon(t, (tt.low+tt.high)/2, r.Mid(), 1e-12)
		})
	}
	require.Nil(t, Find("pruning", "okra", "m2", "plant"))
	require.Nil(t, Find("dancing", "okra", "m"))
}

func TestRatesRefused(t *testing.T) {
	const head = "job,crop,low,high,unit,source,how,note,grade\n"
	for _, row := range []string{
		"weeding,any,5,15,min/fathom,memory,memory,,M", "weeding,any,15,5,min/100 ft,memory,memory,,M", "weeding,any,x,5,min/100 ft,memory,memory,,M",
		"weeding,any,5,x,min/100 ft,memory,memory,,M", "weeding,any,5,15,min/100 ft,,memory,,M", "weeding,any,0,5,min/100 ft,memory,memory,,M", "weeding",
	} {
		require.Panics(t, func() { readRates(head + row + "\n") }, row)
	}
}
