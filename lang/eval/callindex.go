package eval

import star "go.starlark.net/syntax"

// callIndex finds calls by line and column of the opening parenthesis (for an operator: of its sign).
type callIndex struct {
	heads []int32 // by line: 1 + index of the line's last entry
	calls []indexedCall
	long  map[int32]map[int32]*star.CallExpr // by line and column, of lines with more than fewCalls
}

// fewCalls are found faster by looking at one after the other.
const fewCalls = 50

type indexedCall struct {
	call *star.CallExpr
	col  int32
	next int32
}

func (ix *callIndex) add(pos star.Position, call *star.CallExpr) {
	if int(pos.Line) >= len(ix.heads) {
		ix.heads = append(ix.heads, make([]int32, int(pos.Line)-len(ix.heads)+1)...)
	}
	ix.calls = append(ix.calls, indexedCall{call, pos.Col, ix.heads[pos.Line]})
	ix.heads[pos.Line] = int32(len(ix.calls))
}

func (ix *callIndex) at(line, col int32) *star.CallExpr {
	if line < 0 || int(line) >= len(ix.heads) {
		return nil
	}
	i := ix.heads[line]
	for n := 0; i != 0 && n < fewCalls; n++ {
		if ix.calls[i-1].col == col {
			return ix.calls[i-1].call
		}
		i = ix.calls[i-1].next
	}
	if i == 0 {
		return nil
	}
	if ix.long[line] == nil {
		ix.indexLine(line)
	}
	return ix.long[line][col]
}

// indexLine gathers the calls of a line; the one added last stands for its column.
func (ix *callIndex) indexLine(line int32) {
	calls := map[int32]*star.CallExpr{}
	for i := ix.heads[line]; i != 0; i = ix.calls[i-1].next {
		if c := ix.calls[i-1]; calls[c.col] == nil {
			calls[c.col] = c.call
		}
	}
	if ix.long == nil {
		ix.long = map[int32]map[int32]*star.CallExpr{}
	}
	ix.long[line] = calls
}
