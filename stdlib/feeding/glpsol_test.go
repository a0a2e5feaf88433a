//go:build e2e

package feeding

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestMixesAgreeWithGLPK: on 200 drawn mixes GLPK's glpsol finds the same cost to one part in a million, and no solution
// where Blend has none.
func TestMixesAgreeWithGLPK(t *testing.T) {
	random := rand.New(rand.NewSource(20270424))
	dir := t.TempDir()
	mixes, none := 0, 0
	for i := range 200 {
		offers, need, caps := randomMix(random)
		p, _, _ := program(offers, need, caps)
		cost, solved := glpsol(t, filepath.Join(dir, fmt.Sprintf("mix%03d", i)), p)
		m, err := Blend(offers, need, caps)
		if !solved {
			none++
			require.True(t, errors.As(err, new(*NoMixError)), "mix %d: GLPK has no solution: %v", i, err)
			continue
		}
		mixes++
		require.NoError(t, err, "mix %d: GLPK has a solution of %g", i, cost)
		require.InDelta(t, cost, m.Cost, 1e-6*max(math.Abs(cost), 1e-3), "mix %d", i)
	}
	t.Logf("%d mixes of equal cost, %d without a solution in both", mixes, none)
	require.Greater(t, mixes, 80)
	require.Greater(t, none, 20)
}

// randomMix draws what a farm of any size might ask: 1 to 8 products, some left over, needs and caps of kilograms.
func randomMix(r *rand.Rand) ([]Offer, Nutrients, Caps) {
	offers := make([]Offer, 1+r.Intn(8))
	size := math.Pow(10, 3*r.Float64()-1) // kg, from a bed to a field
	for i := range offers {
		o := &offers[i]
		*o = Offer{Price: 0.2 + 4*r.Float64(), Buy: math.Inf(1), Product: Product{Name: fmt.Sprint("p", i), Analysis: Nutrients{
			N: 0.2 * r.Float64(), P2O5: 0.3 * r.Float64(), K2O: 0.3 * r.Float64(),
		}}}
		for _, share := range []*float64{&o.Product.Analysis.N, &o.Product.Analysis.P2O5, &o.Product.Analysis.K2O} {
			if r.Intn(3) == 0 {
				*share = 0
			}
		}
		if r.Intn(3) == 0 {
			o.Product.Available = Span{0.2 + 0.3*r.Float64(), 0.5 + 0.4*r.Float64()}
		}
		if r.Intn(3) == 0 {
			o.Stock = 3 * size * r.Float64()
		}
		if r.Intn(4) == 0 {
			o.Buy = 8 * size * r.Float64()
		}
	}
	need := Nutrients{size * r.Float64(), size * r.Float64(), size * r.Float64()}
	if r.Intn(3) == 0 {
		need.P2O5 = 0
	}
	caps := NoCaps()
	if r.Intn(2) == 0 {
		caps.P2O5 = need.P2O5 + size*r.Float64()
	}
	if r.Intn(3) == 0 {
		caps.N = need.N + size*r.Float64()
	}
	if r.Intn(3) == 0 {
		caps.Salt = 3 * size * (0.2 + r.Float64())
	}
	return offers, need, caps
}

// glpsol writes a program in the format of CPLEX and has GLPK solve it.
func glpsol(t *testing.T, path string, p Program) (cost float64, solved bool) {
	var text bytes.Buffer
	sum := func(coefficients []float64) {
		for j, v := range coefficients {
			fmt.Fprintf(&text, " + %.17g x%d", v, j)
		}
	}
	fmt.Fprint(&text, "Minimize\n cost:")
	sum(p.Cost)
	fmt.Fprint(&text, "\nSubject To\n")
	for i, r := range p.Rows {
		fmt.Fprintf(&text, " r%d:", i)
		sum(r.Over)
		sense := "<="
		if r.AtLeast {
			sense = ">="
		}
		fmt.Fprintf(&text, " %s %.17g\n", sense, r.Bound)
	}
	fmt.Fprint(&text, "End\n")
	require.NoError(t, os.WriteFile(path+".lp", text.Bytes(), 0o600))
	out, err := exec.Command("glpsol", "--lp", path+".lp", "--nopresol", "--write", path+".sol").CombinedOutput()
	require.NoError(t, err, "%s", out)
	solution, err := os.ReadFile(path + ".sol")
	require.NoError(t, err)
	for line := range strings.Lines(string(solution)) {
		// s bas ROWS COLUMNS PRIMAL DUAL COST
		if f := strings.Fields(line); len(f) == 7 && f[0] == "s" && f[1] == "bas" {
			cost, err = strconv.ParseFloat(f[6], 64)
			require.NoError(t, err)
			require.Contains(t, "fn", f[4], "GLPK says neither solved nor impossible:\n%s", out)
			return cost, f[4] == "f" && f[5] == "f"
		}
	}
	require.Fail(t, "GLPK wrote no solution", "%s", out)
	return 0, false
}
