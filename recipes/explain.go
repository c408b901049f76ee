package recipes

import (
	"regexp"
	"strconv"
	"strings"

	"barline/brew"
)

// explanations put the YAML library's messages into words, for the slips that
// findSlip does not find. The first one that fits is taken.
var explanations = []struct{ says, message, hint string }{
	{"',' or '}'", "a { that is not closed, or a comma that is missing", "end the line with }"},
	{"',' or ']'", "a [ that is not closed, or a comma that is missing", "end the line with ]"},
	{"expected key", "a line that does not fit those above", "line keys up under one another"},
	{"'-' indicator", "a line that does not fit the list above", "line the entries of a list up under one another"},
	{"mapping values", "a colon where none can stand", "quote text with a colon"},
	{"expected ':'", "a key without a colon", "put a colon and a blank behind the key"},
	{"block sequence", "a list where none can begin", "put each entry on a line of its own below the key"},
	{"cannot start any token", "a character that text cannot begin with", "quote the text"},
	{"node content", "a character that no value can begin with", "quote the text"},
	{"tab character", "a tab in the indentation", "indent with blanks"},
	{"tag", "text cannot begin with !", "quote the text"},
	{"alphabetic or numeric", "text cannot begin with & or *", "quote the text"},
	{"anchor", "text cannot begin with *", "quote the text"},
	{"document indicator", "--- or ... within quotes", "close the quotes before it"},
	{"end of stream", "a quote that is not closed", "close it at the end of the text"},
	{"escape", "a backslash that means nothing in double quotes", `write \\ for a backslash`},
	{"hexdecimal", "a backslash that means nothing in double quotes", `write \\ for a backslash`},
	{"directive", "a line cannot begin with %", "begin it with a key"},
	{"YAML document", "a line cannot begin with %", "begin it with a key"},
	{"document start", "a line that does not fit those above", "line keys up under one another"},
	{"indentation indicator", "a figure behind | or > that cannot stand there", "put the text in quotes on one line"},
	{"comment or line break", "text behind | or >", "put the text in quotes on one line"},
	{"max depth", "keys and lists lie too deep in one another", "write it line by line as the examples are"},
}

// mostTries bounds how many lines a file may have to be read line by line.
const mostTries = 400

// explain puts an error of the YAML library into words. The library may name a
// line far from the slip, where what holds it began. The slip is rather in the
// first line that cannot be added to those before it.
func explain(src *source, err error) Fault {
	line, said := libraryLine(err), err.Error()
	if src.count() <= mostTries {
		for line = src.count(); line > 1; line-- {
			if _, _, err := decode(src.text[:src.start(line)]); err == nil {
				break
			}
		}
	}
	for line < src.count() && passedOver(src.line(line)) {
		line++
	}
	column := indent(src.line(line)) + 1
	for _, e := range explanations {
		if strings.Contains(said, e.says) {
			return src.fault(brew.Error, line, column, e.hint, "%s", e.message)
		}
	}
	return src.fault(brew.Error, line, column, "compare it with the lines above, or quote its text", "a line that cannot be read")
}

var saidLine = regexp.MustCompile(`line ([0-9]+): `)

// libraryLine returns the line that an error of the library names.
func libraryLine(err error) int {
	m := saidLine.FindStringSubmatch(err.Error())
	if m == nil {
		return 1
	}
	line, _ := strconv.Atoi(m[1])
	return line
}

// passedOver reports whether a line is empty or a comment.
func passedOver(line string) bool {
	text := strings.TrimSpace(line)
	return text == "" || text[0] == '#'
}
