package eval

import "haulm/lang/diag"

// Rules lists the codes of this package in reading order.
func Rules() []*diag.Rule {
	return []*diag.Rule{
		bareNumber, wrongDimension, wrongType, outOfRange, badDate, unknownChoice,
		unknownArgument, unnamedArgument, missingArgument, duplicateArgument, amountNotClear,
		unknownName, hidesAUnit, nameGivenTwice, comparesQuantityWithNumber, noFarm, secondFarm, secondTrellis, secondNursery,
		loadNotFound, loadOutside, loadCycle, loadTooDeep, badWeather, badRecord, unreadColumn,
		cannotEvaluate, outOfSteps, outOfMemory, outOfTime,
	}
}

const ownSource = "Haulm's own language; units after NIST SP 811 (2008), Appendix B"

// exampleGround is the plan that most examples start from.
const exampleGround = `farm("Example", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
`

var (
	bareNumber = &diag.Rule{
		Code: "bare-number", Severity: diag.Error, Source: ownSource,
		Summary: "a number without a unit stands where a quantity belongs",
		Explain: "Lengths, masses, times, flows and their kind are written with a unit: `18 * inch`, " +
			"`6 * lb / (100 * ft)`. A bare number could be feet or inches or centimeters, and a plan that " +
			"guesses is worse than one that asks. Only 0 needs no unit. Multiply the number by the unit you mean.",
		Example: exampleGround + "first = row(bench, at = 4)\n",
	}
	wrongDimension = &diag.Rule{
		Code: "wrong-dimension", Severity: diag.Error, Source: ownSource,
		Summary: "a quantity of one kind stands where another kind belongs",
		Explain: "Every quantity carries its dimension. A mass cannot be a length, and a length cannot be added " +
			"to a mass; a flow for each length of tape is not a flow. The message names both and offers units that fit.",
		Example: exampleGround + "first = row(bench, at = 4 * lb)\n",
	}
	wrongType = &diag.Rule{
		Code: "wrong-type", Severity: diag.Error, Source: ownSource,
		Summary: "a value of one sort stands where another sort belongs",
		Explain: "Names are text in quotes, counts are whole numbers, switches are `True` or `False`, and where a " +
			"plot, row or crop belongs it is what `plot(...)`, `row(...)` or `load(\"crops\", ...)` gave.",
		Example: `farm(2027, year = 2027)` + "\n",
	}
	outOfRange = &diag.Rule{
		Code: "out-of-range", Severity: diag.Error, Source: "common practice",
		Summary: "a value lies outside what can be",
		Explain: "Each argument has bounds that no farm exceeds: a row is not 90 km long and a latitude not 120 " +
			"degrees. A value outside them is nearly always a slip of the unit or of a digit. `haulm doc NAME` shows the bounds.",
		Example: exampleGround + "first = row(bench, at = 400 * km)\n",
	}
	badDate = &diag.Rule{
		Code: "bad-date", Severity: diag.Error, Source: "ISO 8601-1:2019, calendar date",
		Summary: "a date that the calendar does not have",
		Explain: "Dates are written year-month-day with two digits for month and day: `\"2027-04-24\"`. " +
			"Dates can be moved by times: `here.last_frost + 2 * weeks`.",
		Example: `here = site(latitude = 38.2, last_frost = "2027-02-30", first_frost = "2027-10-14")
farm("Example", year = 2027, site = here)
`,
	}
	unknownChoice = &diag.Rule{
		Code: "unknown-choice", Severity: diag.Error, Source: ownSource,
		Summary: "a word that is not among the ones to choose from",
		Explain: "Some arguments take one of a few words. The message lists them and the nearest is offered.",
		Example: `farm("Example", year = 2027, units = "imperial")` + "\n",
	}
	unknownArgument = &diag.Rule{
		Code: "unknown-argument", Severity: diag.Error, Source: ownSource,
		Summary: "a call has an argument that the built-in does not take",
		Explain: "The name after the opening parenthesis is not one of the built-in's own. The nearest free one " +
			"is offered; `haulm doc NAME` lists them all.",
		Example: exampleGround + "first = row(bench, at = 4 * ft, lenght = 30 * ft)\n",
	}
	unnamedArgument = &diag.Rule{
		Code: "unnamed-argument", Severity: diag.Error, Source: ownSource,
		Summary: "an argument that needs its name stands without it",
		Explain: "After the first one or two obvious arguments everything is named, so that a plan can be read " +
			"aloud a year later: `plot(\"Lower bench\", length = 52 * ft)`.",
		Example: exampleGround + "first = row(bench, 4 * ft)\n",
	}
	missingArgument = &diag.Rule{
		Code: "missing-argument", Severity: diag.Error, Source: ownSource,
		Summary: "a call lacks an argument that the built-in needs",
		Explain: "Without it nothing can be worked out, so the declaration is left out until it is given.",
		Example: exampleGround + "first = row(bench)\n",
	}
	duplicateArgument = &diag.Rule{
		Code: "duplicate-argument", Severity: diag.Error, Source: ownSource,
		Summary: "an argument is given twice in one call",
		Explain: "The first one is taken, and the second left out. Keep the one you mean.",
		Example: exampleGround + "first = row(bench, at = 4 * ft, at = 5 * ft)\n",
	}
	amountNotClear = &diag.Rule{
		Code: "amount-not-clear", Severity: diag.Error, Source: ownSource,
		Summary: "a planting, task or want says in no way, or in several ways, how much it is",
		Explain: "Of a planting, say exactly one of `count` (plants in each line), `length` (from the first plant to the last) and " +
			"`fill = True` (as many as there is room for); of a task, one time that it takes; of a want, its mass or its count.",
		Example: `load("crops", "beet")
` + exampleGround + `first = row(bench, at = 4 * ft)
sow(first, beet, on = "2027-05-01")
`,
	}
	unknownName = &diag.Rule{
		Code: "unknown-name", Severity: diag.Error, Source: ownSource,
		Summary: "a name that nothing has been given",
		Explain: "A name is known once it is assigned, defined or loaded. Crops are loaded before use: " +
			"`load(\"crops\", \"tomato\")`. What depends on the name is left out; the rest of the plan goes on.",
		Example: exampleGround + "first = row(bench, at = 4 * feet)\n",
	}
	hidesAUnit = &diag.Rule{
		Code: "hides-a-unit", Severity: diag.Warning, Source: ownSource,
		Summary: "a plan gives the name of a unit or built-in another meaning",
		Explain: "After `m = 3` a length such as `2 * m` is no length any more, and the fault shows far from its " +
			"cause. Choose a name that is no unit. The names of built-ins, such as `row`, are free inside functions, " +
			"but not at the top of a file.",
		Example: exampleGround + "m = 3\n",
	}
	comparesQuantityWithNumber = &diag.Rule{
		Code: "compares-quantity-with-number", Severity: diag.Warning, Source: ownSource,
		Summary: "a quantity is compared with a bare number or another kind of quantity",
		Explain: "A length is never equal to a number, so the comparison always comes out the same. Give the " +
			"number a unit, or divide the quantity by a unit: `bench.length / ft > 40`.",
		Example: exampleGround + "if bench.length == 52:\n    print(\"long\")\n",
	}
	noFarm = &diag.Rule{
		Code: "no-farm", Severity: diag.Error, Source: ownSource,
		Summary: "the plan never says which farm and year it is for",
		Explain: "A plan needs one `farm(\"Name\", year = 2027, ...)`: it sets the units of every table and the year of the season.",
		Example: "print(\"nothing yet\")\n",
	}
	secondFarm = &diag.Rule{
		Code: "second-farm", Severity: diag.Error, Source: ownSource,
		Summary: "the plan declares a second farm",
		Explain: "One plan is one farm and one season. The first declaration stands; keep other farms in files of their own.",
		Example: "farm(\"One\", year = 2027)\nfarm(\"Two\", year = 2027)\n",
	}
	secondTrellis = &diag.Rule{
		Code: "second-trellis", Severity: diag.Error, Source: ownSource,
		Summary: "a row gets a second trellis",
		Explain: "A row is held up by one trellis, whose height is the height that shades its neighbours. The first " +
			"one counts. A line was copied and the row left as it was, or the style was to be changed: keep one of the two.",
		Example: exampleGround + "first = row(bench, at = 4 * ft)\ntrellis(first, style = \"cage\", height = 4 * ft)\n" +
			"trellis(first, style = \"net\", height = 6 * ft)\n",
	}
	secondNursery = &diag.Rule{
		Code: "second-nursery", Severity: diag.Error, Source: ownSource,
		Summary: "a second nursery is declared",
		Explain: "A plan has one nursery, whose bench and heat mats all its trays share. The first one counts. Add the " +
			"benches up in one call: nursery(bench = 60 * sqft + 40 * sqft).",
		Example: exampleGround + "nursery(bench = 60 * sqft)\nnursery(bench = 40 * sqft)\n",
	}
	loadNotFound = &diag.Rule{
		Code: "load-not-found", Severity: diag.Error, Source: ownSource,
		Summary: "a file or module that the plan names is not there",
		Explain: "A module such as `crops` is loaded by its name, a file of the plan by its path from the file " +
			"that loads it: `load(\"./west_field.star\", \"west_rows\")`.",
		Example: "load(\"./west_field.star\", \"west_rows\")\nfarm(\"Example\", year = 2027)\n",
	}
	loadOutside = &diag.Rule{
		Code: "load-outside-plan", Severity: diag.Error, Source: ownSource,
		Summary: "a path leads out of the plan's folder",
		Explain: "A plan reads only files below its root, so that opening somebody's plan never reads your other " +
			"files. Paths and links that lead out are refused. The root is the top of the plan's git work tree, else the " +
			"plan's own folder; `--root` names another. So last year's plan may lie in a folder beside this one's where " +
			"both are in one git work tree, or `--root` names the folder that holds both.",
		Example: "load(\"../../etc/passwd\", \"root\")\nfarm(\"Example\", year = 2027)\n",
	}
	loadCycle = &diag.Rule{
		Code: "load-cycle", Severity: diag.Error, Source: ownSource,
		Summary: "files load one another in a circle",
		Explain: "A file is run when it is loaded, so it cannot wait for itself. Move what both files need into a third.",
		Example: "load(\"./farm.star\", \"bench\")\nfarm(\"Example\", year = 2027)\n",
	}
	loadTooDeep = &diag.Rule{
		Code: "load-too-deep", Severity: diag.Error, Source: ownSource,
		Summary: "files load files too many levels deep",
		Explain: "Fifty levels are allowed. Load the files you need from `farm.star` itself.",
	}
	badWeather = &diag.Rule{
		Code: "weather-unreadable", Severity: diag.Error, Source: ownSource,
		Summary: "a weather file is not as it should be",
		Explain: "A weather file is comma-separated text. Its first line names the columns with their units, and " +
			"each further line is a day: `date, tmin (degF), tmax (degF), rain (in)`. The message names the line " +
			"and what belongs there; nothing of the file is used until it is mended.",
		Example: "here = site(latitude = 38.2, last_frost = \"2027-04-24\", first_frost = \"2027-10-14\",\n" +
			"            weather = weather(\"./farm.star\"))\nfarm(\"Example\", year = 2027, site = here)\n",
	}
	badRecord = &diag.Rule{
		Code: "record-unreadable", Severity: diag.Error, Source: ownSource,
		Summary: "a line of a file of records says something that cannot be read",
		Explain: "A file of records is comma-separated text whose first line names the columns: date, plot, row, crop, " +
			"what, plants, hours, weight (lb), pieces, note. The message names the line, the column and what belongs there. " +
			"The line is left out until it is mended; all others count.",
		Example: "farm(\"Example\", year = 2027)\nrecord(\"./farm.star\")\n",
	}
	unreadColumn = &diag.Rule{
		Code: "record-column-not-read", Severity: diag.Note, Source: ownSource,
		Summary: "a file of records has a column that is not read",
		Explain: "Columns besides those that are known are left alone, so that a file can hold more than the plan asks for. " +
			"They are named once, for one of them may be a known column under another word. Accept it next to the call of " +
			"`record` where it is meant so.",
		Example: "-- farm.star --\nfarm(\"Example\", year = 2027)\nrecord(\"./record.csv\")\n-- record.csv --\ndate,what,hours,who\n",
	}
	cannotEvaluate = &diag.Rule{
		Code: "cannot-evaluate", Severity: diag.Error, Source: "the Starlark specification",
		Summary: "a statement fails while the plan runs",
		Explain: "The statement is left out, the names it would have bound stay unknown, and the rest of the plan goes on.",
		Example: exampleGround + "first = row(bench, at = [4 * ft][1])\n",
	}
	outOfSteps = &diag.Rule{
		Code: "out-of-steps", Severity: diag.Error, Source: ownSource,
		Summary: "the plan runs for too long",
		Explain: "A plan may take 20 million steps; a farm of 100,000 rows takes about two. A loop inside a loop is " +
			"the usual cause. Looking through long lists and texts is counted too: 200 million values in all.",
		Example: "farm(\"Example\", year = 2027)\nfor i in range(100000):\n    for j in range(100000):\n        pass\n",
	}
	outOfMemory = &diag.Rule{
		Code: "out-of-memory", Severity: diag.Error, Source: ownSource,
		Summary: "the plan makes too many values",
		Explain: "A plan may make 64 million values (about a gigabyte) in all. A text or list that doubles in a loop is the usual cause.",
		Example: "farm(\"Example\", year = 2027)\nx = \"a\" * 2000000000\n",
	}
	outOfTime = &diag.Rule{
		Code: "out-of-time", Severity: diag.Error, Source: ownSource,
		Summary: "the plan was stopped before it ended",
		Explain: "Whoever runs the plan may bound its time; the editor stops a plan as soon as it is edited again.",
	}
)
