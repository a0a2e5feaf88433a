package eval

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

func readRecords(text string, units quantity.System) *recordReader {
	r := newRecordReader(source.New("record.csv", text), 2027, units)
	r.read()
	return r
}

// What people's spreadsheets make of one and the same line.
func TestRecordFileForms(t *testing.T) {
	for name, text := range map[string]string{
		"plain":        "date,plot,row,crop,what,weight (lb)\n2027-07-20,Lower bench,2,okra,harvested,12.5\n",
		"order":        "what,crop,row,plot,weight_lb,date\nharvest,okra,2,Lower bench,12.5,2027-07-20\n",
		"semicolons":   "\ufeffDate;Plot;Row;Crop;What;Weight [lb]\r\n20 Jul 2027;Lower bench;2;okra;harvested;12,5\r\n",
		"tabs":         "date\tplot\tbed\tcrop\tjob\tmass (lb)\n7/20/2027\tLower bench\t2\tokra\tpicked\t12.5\n",
		"quotes":       "date,plot,row,crop,what,weight (lb),note\n\"2027-07-20\",\"Lower bench\",\"2\",\"okra\",\"harvested\",\"12.5\",\"\"\n",
		"blank lines":  "# of the stall\n\ndate,plot,row,crop,what,weight (lb)\n\n# July\n  2027-07-20 , Lower bench, 2,okra,harvested, 12.5,,\n,,,\n",
		"job left out": "date,plot,row,crop,what,weight (lb)\nJuly 20,Lower bench,2,okra,,12.5",
		"ounces":       "date,plot,row,crop,weight (oz)\n2027-07-20,Lower bench,2,okra,200\n",
	} {
		t.Run(name, func(t *testing.T) {
			r := readRecords(text, quantity.US)
			require.Empty(t, r.found)
			require.Len(t, r.records, 1)
			d := r.records[0]
			require.Equal(t, farm.Harvested, d.Kind)
			require.Equal(t, "Lower bench/2/okra", d.Where.Value)
			require.Equal(t, season.On(2027, 7, 20), d.On.Value)
			require.InDelta(t, 12.5*0.45359237, d.Mass.Value.SI, 1e-9)
		})
	}
	r := readRecords("date,plot,minutes,what\n2027-07-20,\"Lower \"\"old\"\"\nbench\",90,weeding\n", quantity.US)
	require.Empty(t, r.found)
	require.Equal(t, "Lower \"old\"\nbench", r.records[0].Where.Value)
	require.InDelta(t, 5400, r.records[0].Took.Value.SI, 1e-9)

	require.Equal(t, season.On(2027, 6, 25), readRecords("date,what\n25/6/2027,weeding\n", quantity.Metric).records[0].On.Value)
	require.Len(t, readRecords("date,what\n5/6/2027,weeding\n", quantity.Metric).found, 1, "which of the two is the month?")
}

// Many faults are told once each, then counted.
func TestRecordFileManyFaults(t *testing.T) {
	r := readRecords("date,what\n"+strings.Repeat("someday,weeding\n", 50), quantity.US)
	require.Len(t, r.found, mostRecordFaults)
	require.Contains(t, r.found[mostRecordFaults-1].Message, "30 more lines")
	require.Empty(t, r.records)
}

// FuzzRecordFile holds that any text is read or refused line by line: nothing is kept without its day and place,
// and every finding points into the file.
func FuzzRecordFile(f *testing.F) {
	f.Add("date,plot,row,crop,what,plants,hours,weight (lb),pieces,note\n2027-07-20,Lower bench,2,okra,harvested,,1,12.5,,\n")
	f.Add("date;what;weight (kg)\n5/6/2027;lost;\"1\n\"\"2\n")
	f.Add("\ufeff\tdate\twhat\r\n\r\n#\r\n2027-02-30\t\"\r\n")
	f.Add("date,what,hours\n2027-07-20,weeding,1e400\n2027-07-20,weeding,-0\n2027-07-20,ü,NaN\n")
	f.Fuzz(func(t *testing.T, text string) {
		r := readRecords(text, quantity.US)
		for _, d := range r.records {
			require.True(t, d.Call.IsValid())
			require.True(t, d.On.Given || d.Kind == farm.Lost)
			require.True(t, d.Kind == farm.Done || d.Where.Value != "")
			require.True(t, d.Kind != farm.Lost || d.Plants.Value > 0)
			require.True(t, d.Kind != farm.Harvested || d.Mass.Given != d.Count.Given)
			require.GreaterOrEqual(t, d.Took.Value.SI+d.Mass.Value.SI+d.Count.Value, 0.0)
		}
		for _, f := range r.found {
			require.True(t, f.Primary.Span.IsValid())
			require.False(t, f.Primary.Span.End.Before(f.Primary.Span.Start))
		}
		require.LessOrEqual(t, len(r.found), mostRecordFaults)
	})
}
