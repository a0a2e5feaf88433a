package eval

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"sync"
)

// saying puts a message of the interpreter in a grower's words. In text and help, $1 is what the first
// group of the pattern holds; a group called kind holds the name of a sort of values.
type saying struct {
	pattern    *regexp.Regexp
	text, help string
}

// sayings are the messages that a plan can bring about, by the packages that make them: resolve, then
// starlark's eval.go, interp.go, value.go, library.go and unpack.go.
var sayings = sync.OnceValue(func() []saying {
	const (
		kind = `([\w.]+)`
		copy = "make a list of your own from it: list(...)"
	)
	var all []saying
	say := func(pattern, text, help string) {
		all = append(all, saying{regexp.MustCompile("^(?:" + pattern + ")$"), text, help})
	}
	say(`positional argument may not follow named`, "this argument has no name, and stands behind one that has", "give it its name, or put it first")
	say(`positional argument may not follow \*\*?\w+`, "arguments without a name come before * and **", "")
	say(`(?:keyword argument|\*args) may not follow \*\*?\w+|multiple \*\*?\w+ not allowed`, "* and ** come last among the arguments, each once", "")
	say(`can't assign to \w+`, "only a name can stand before this =", "to compare, write ==")
	say(`can't use \w+ expression in augmented assignment`, "only one name can be changed at a time", "")
	say(`.*does not support while loops`, "plans have no while", "a loop over numbers repeats as often as you say: for i in range(10):")
	say(`(break|continue) not in a loop`, "$1 means something only in a loop", "take it out, or indent it under its for")
	say(`return statement not within a function`, "return means something only in a function", "take it out, or indent it under its def")
	say(`load statement within a \w+`, "load stands at the margin, outside functions, loops and conditions", "move it to the head of the file")
	say(`load: names with leading underscores are not exported: (\w+)`, "$1 begins with _ and so is kept to its own file", "give it a name without _ there")
	say(`load: empty identifier`, "an empty text is no name to load", "")
	say(`(?:required|optional|\*) parameter may not follow .*`, "parameters without a value of their own come first, then those with one, then * and **", "")
	say(`duplicate parameter: (\w+)|multiple \*\*? parameters not allowed`, "a function has each parameter once", "choose another name for the second")
	say(`bare \* must be followed by keyword-only parameters`, "parameters must follow this *", "")
	say(`(?:local|global) variable (\w+) referenced before assignment`, "$1 means nothing yet where it is used here", "move the line that gives it its meaning above this one")

	say(`unknown unary op: \S+ `+kind, "$kind1 cannot have a sign before it", "")
	say(kind+` has no \.(\w+) field or method \(did you mean \.(\w+)\?\)`, "$kind1 has no .$2", "$did3")
	say(kind+` has no \.(\w+) field or method`, "$kind1 has no .$2", "$fields1")
	say(`can't assign to \.(\w+) field of `+kind, "what $kind2 is cannot be changed from here", "say it where it is made")
	say(`key (.+) not in dict`, "there is no entry $1", "")
	say(`index -?\d+ out of range: empty `+kind, "$kind1 is asked for one of its values, and is empty", "")
	say(kind+` index: got \S+, want int`, "a place in $kind1 is a whole number, counted from 0", "")
	say(`unhandled index operation `+kind+`\[`+kind+`\]`, "$kind1 has no parts to take by [ ]", "")
	say(`(tuple|string|range) value does not support item assignment`, "$kind1 cannot be changed", "write it as a list, with [ ]")
	say(kind+` value does not support item assignment`, "$kind1 cannot be changed by [ ]", "")
	say(`.*(?:division|modulo) by zero`, "this divides by zero", "")
	say(`.*(?:repeat count .* too large|excessive repeat .*)`, "this repeats a text or a list too often", "")
	say(`invalid call of non-function \(`+kind+`\)`, "$kind1 is no function and cannot be called", "take the ( ) behind it away, or look for a missing comma or *")
	say(`invalid slice operand `+kind, "$kind1 has no parts to take by [ : ]", "")
	say(`invalid (?:slice step|start index|end index): .*|zero is not a valid slice step`, "the numbers in [ : ] are whole, and the last is not 0", "")
	say(`function (\w+) accepts no arguments \((\d+) given\)`, "$1 takes no arguments, and here are $2", "")
	say(`function (\w+) accepts (?:at most |exactly )?(\d+) positional arguments? \((\d+) given\)`, "$1 takes $2 arguments, and here are $3", "")
	say(`function \w+ got multiple values for parameter "?(\w+)"?|\w+: got multiple values for keyword argument "?(\w+)"?`, "$1$2 is given twice in one call", "keep the one you mean")
	say(`(?:function )?(\w+):? (?:got an )?unexpected keyword argument "?(\w+)"?(?: \(did you mean (\w+)\?\))?`, "$1 takes no argument called $2", "$did3")
	say(`function (\w+) missing \d+ arguments? \((.+)\)`, "$1 needs $2", "")
	say(`(\w+): missing argument for (\w+)`, "$1 needs $2", "")
	say(`not enough arguments for format string`, "the text has more places (%) than there are values", "")
	say(`too many arguments for format string`, "the text has fewer places (%) than there are values", "")
	say(`unknown conversion (%.*)|incomplete format(?: key)?`, "a % in this text has no meaning", "write %s where a value belongs, and %% for the sign itself")
	say(`function (\w+) called recursively`, "$1 calls itself, which plans cannot", "use a loop")
	say(`Starlark stack overflow`, "functions call one another too deep here", "")
	say(`argument after \*\* must be a mapping, not `+kind, "a dict belongs behind **, not $kind1", "")
	say(`argument after \* must be iterable, not `+kind, "a list belongs behind *, not $kind1", "")
	say(`(?:\w+: )?`+kind+` value is not iterable|\w+: (?:for parameter \w+: )?got `+kind+`, want iterable`, "$kind1$kind2 is no list to go through", "")
	say(`duplicate key: (.+)`, "the key $1 is there twice", "keep the one you mean")
	say(`got `+kind+` in sequence assignment`, "there is one value, $kind1, for several names", "")
	say(`too (?:many|few) values to unpack \(got (\d+), want (\d+)\)`, "the names before the = are $2, the values $1", "")
	say(`'in <string>' requires string as left operand, not `+kind, "only a text can be looked for in a text, not $kind1", "")
	say(`.*unhashable(?: type)?: `+kind, "$kind1 cannot be a key", "take its name, or a number")
	say(kind+` (\S+) `+kind+` not implemented`, "$kind1 and $kind3 cannot be compared", "")
	say(`(?:\w+: )?cannot (.+) frozen (?:list|hash table)`, "a list that comes from another file cannot be changed", copy)
	say(`(?:\w+: )?cannot (.+) (?:list|hash table) during iteration`, "a list cannot be changed by the loop that goes through it", copy)
	say(`len: value of type `+kind+` has no len`, "$kind1 has nothing to count", "")
	say(`int: invalid literal with base 10: (.*)|invalid float literal: (.*)`, "the text $1$2 is no number", "")
	say(`(?:min|max): argument is an empty sequence`, "there is nothing to choose from: the list is empty", "")
	say(`join: in list, want string, got `+kind, "only texts can be joined, and here is $kind1", "write str(...) around it")
	say(`(?:index: value|remove: element) not .*`, "the list does not have this value", "")
	say(`(\w+): for parameter \d+: got `+kind+`, want `+kind, "$1 takes $kind3, not $kind2", "")
	say(`(\w+): for parameter (\w+): got `+kind+`, want `+kind, "$2 of $1 is $kind3; $kind4 belongs here", "")
	say(`(\w+): got (\d+) arguments, want (?:(at most|at least|exactly) )?(\d+)`, "$1 takes $3 $4 arguments, and here are $2", "")
	say(`(\w+):? got `+kind+`, wants? `+kind+`.*`, "$1 takes $kind3, not $kind2", "")
	say(`got `+kind+`, want (?:int|float)(?: or float)?`, "a number belongs here, not $kind1", "")
	return all
})

// plainWords takes Starlark's own wording to a reader of plans, with help where there is any.
func plainWords(msg string) (text, help string) {
	if own, ok := strings.CutPrefix(msg, "fail: "); ok {
		return own, ""
	}
	if text, help, ok := mixedWords(msg); ok {
		return text, help
	}
	if text, help, ok := outOfList(msg); ok {
		return text, help
	}
	for _, s := range sayings() {
		if groups := s.pattern.FindStringSubmatch(msg); groups != nil {
			return fill(s.text, groups), fill(s.help, groups)
		}
	}
	return strings.TrimPrefix(msg, "$"), ""
}

// fill puts the groups of a match in the places of a text.
func fill(text string, groups []string) string {
	for i := 1; i < len(groups); i++ {
		n := strconv.Itoa(i)
		did := ""
		if groups[i] != "" {
			did = "did you mean " + groups[i] + "?"
		}
		text = strings.NewReplacer("$kind"+n, kindWords(groups[i]), "$did"+n, did, "$fields"+n, fieldsOf(groups[i]), "$"+n, groups[i]).Replace(text)
	}
	text = strings.Join(strings.Fields(text), " ")
	return strings.ReplaceAll(text, " 1 arguments", " 1 argument")
}

// fieldsOf says what can be asked of the things of a kind, "" for nothing.
func fieldsOf(kind string) string {
	for _, h := range Handles() {
		if h.Name != kind || len(h.Attrs) == 0 {
			continue
		}
		var names []string
		for _, a := range h.Attrs {
			names = append(names, "."+a.Name)
		}
		return article(strings.ReplaceAll(kind, "_", " ")) + " has " + list(names, "and")
	}
	return ""
}

// kindWords says a sort of Starlark's values, "a text" for "string".
func kindWords(kind string) string {
	switch kind {
	case "":
		return ""
	case "string", "bytes":
		return "a text"
	case "int", "float":
		return "a number"
	case "bool":
		return "True or False"
	case "NoneType":
		return "None"
	case "tuple":
		return "a group of values in ( )"
	case "function", "builtin_function_or_method", "callable":
		return "a function"
	case "iterable":
		return "a list"
	}
	return article(strings.ReplaceAll(kind, "_", " "))
}

var (
	unknownOp  = regexp.MustCompile(`^unknown binary op: ([\w ]+?) (\S+|not in) ([\w ]+)$`)
	pastTheEnd = regexp.MustCompile(`^(?:\w+: )?(\w+) index (-?\d+) out of range \[-(\d+):(-?\d+)\]$`)
)

// mixedWords says that two sorts of values do not go together.
func mixedWords(msg string) (text, help string, ok bool) {
	m := unknownOp.FindStringSubmatch(msg)
	if m == nil {
		return "", "", false
	}
	x, op, y := m[1], m[2], m[3]
	verb, known := map[string]string{
		"+": "added", "-": "taken from one another", "*": "multiplied", "/": "divided", "//": "divided", "%": "divided",
	}[op]
	if op == "in" || op == "not in" {
		if isNumberKind(x) {
			help = "inches are written inch"
		}
		return fmt.Sprintf("%s is no list to look in", kindWords(y)), help, true
	}
	text = fmt.Sprintf("%s and %s cannot be %s", kindWords(x), kindWords(y), verb)
	if !known {
		text = fmt.Sprintf("%s stands between %s and %s, where it has no meaning", op, kindWords(x), kindWords(y))
	}
	switch {
	case op == "+" && (x == "string" || y == "string"):
		help = "a number or a measure becomes a text by str(...)"
	case x == "string" || y == "string":
		help = "numbers and measures are written without quotes"
	case x == "list" || y == "list":
		help = "take one value from the list, as in beds[0]"
	case x == "NoneType" || y == "NoneType":
		help = "a function without return gives None"
	case y == "builtin_function_or_method" && (op == "/" || op == "*"):
		help = "units are written in full: minutes, seconds, inch; a temperature is degf(70) or degc(21)"
	default:
		if help = fieldsOf(x); help == "" {
			help = fieldsOf(y)
		}
	}
	return text, help, true
}

func isNumberKind(kind string) bool { return kind == "int" || kind == "float" }

// outOfList says how many values a list has when it is asked for one that it does not have.
func outOfList(msg string) (text, help string, ok bool) {
	m := pastTheEnd.FindStringSubmatch(msg)
	if m == nil {
		return "", "", false
	}
	if m[1] == "string" {
		return fmt.Sprintf("the text has %s letters, counted from 0; there is none at %s", m[3], m[2]), "", true
	}
	if m[3] == "1" {
		return fmt.Sprintf("the list has one value, [0]; there is no [%s]", m[2]), "", true
	}
	return fmt.Sprintf("the list has %s values, counted from 0: the last is [%s], and there is no [%s]", m[3], m[4], m[2]), "", true
}
