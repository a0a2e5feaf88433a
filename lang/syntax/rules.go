package syntax

import "haulm/lang/diag"

var ruleSyntax = &diag.Rule{
	Code:     "syntax",
	Severity: diag.Error,
	Summary:  "a statement cannot be read",
	Explain: `The text of a statement breaks the rules by which plans are written: a bracket or a quote that is
never closed, a comma or an equals sign left out, a line indented where no block is open.

Only the broken statement is left out; everything else in the file is still read and checked. Names that
the broken statement would have defined count as known, so that one slip does not bring a list of others.`,
	Example: "plot(\"Lower bench\", length = 52 * ft, width = 40 * ft",
	Source:  "https://github.com/google/starlark-go/blob/master/doc/spec.md",
}

var ruleNotUTF8 = &diag.Rule{
	Code:     "not-utf8",
	Severity: diag.Error,
	Summary:  "the file is not UTF-8 text",
	Explain: `Plans are UTF-8 text. A byte was found that is no part of any UTF-8 character, which happens when an
editor saves in an older encoding, or when the file is no text at all. Nothing in the file is read.

Open it in the editor, choose "save with encoding UTF-8" and save.`,
	Example: "farm(\"Ferry Bank\", year = 2027)  # d\xe9p\xf4t",
	Source:  "RFC 3629",
}

var ruleByteOrderMark = &diag.Rule{
	Code:     "byte-order-mark",
	Severity: diag.Note,
	Summary:  "the file begins with a byte order mark",
	Explain: `Some editors put an invisible mark (U+FEFF) before the first character of a file. UTF-8 needs none
and Starlark does not allow it, so other tools may refuse the file. It is skipped here, and the fix takes
it out.`,
	Example: "\ufefffarm(\"Ferry Bank\", year = 2027)",
	Source:  "RFC 3629, section 6",
}

var ruleTooLarge = &diag.Rule{
	Code:     "file-too-large",
	Severity: diag.Error,
	Summary:  "the file is larger than 8 MiB",
	Explain: `A plan's file may hold 8,388,608 bytes (8 MiB), which is more than 100,000 rows. A larger file is most
often not a plan at all. Nothing in it is read.

Split a plan that has truly grown so large into several files and load them.`,
	Source: "common practice",
}

var ruleTooDeep = &diag.Rule{
	Code:     "nested-too-deep",
	Severity: diag.Error,
	Summary:  "a statement is nested or chained too deep",
	Explain: `Brackets, signs and blocks inside each other, or one long chain of sums, dots and calls, go deeper
than can be read safely. About 75 brackets inside each other and 5,000 links in a chain are the most.

Give parts of the statement names of their own, or use a loop.`,
	Example: "x = ((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((1" +
		"))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))",
	Source: "common practice",
}

var ruleNoReason = &diag.Rule{
	Code:     "accept-without-reason",
	Severity: diag.Warning,
	Summary:  "an accept comment lacks its reason, or the signs around its codes",
	Explain: `A finding is accepted on purpose by a comment on the same line, or on the line before: the word
"accept:", the finding's code (or several, with commas), a dash or a colon, and the reason. The reason is
for whoever reads the plan next season. Without it, or without the colon or the dash, the comment accepts
nothing.`,
	Example: "row(bench, at = 4 * ft)  # accept: rows-too-close",
	Source:  "common practice",
}

// Rules lists the findings of this package.
func Rules() []*diag.Rule {
	return []*diag.Rule{ruleSyntax, ruleNotUTF8, ruleByteOrderMark, ruleTooLarge, ruleTooDeep, ruleNoReason}
}
