package recipes

import (
	"bytes"
	"errors"
	"time"

	"gopkg.in/yaml.v3"

	"barline/brew"
)

// Setting is one key of a file of settings, which is written by hand as a
// recipe is: one value a key, quantities with their unit, faults told in the
// same words.
type Setting struct {
	Name string
	Read func(text string) error // takes the value; the error may be a *Wrong
}

// Wrong is why a value cannot be read.
type Wrong struct {
	Message string // follows the name of the key: '"red" is unknown, wanted ...'
	Hint    string // one thing to do; may be empty
}

// Error returns the message without the hint.
func (w *Wrong) Error() string { return w.Message }

// ReadSettings reads a file of settings and gives each value to its key. An
// empty file has none. The faults are all there are, in line order; the file's
// name is used in them alone.
func ReadSettings(file string, text []byte, settings []Setting) Faults {
	src := newSource(file, bytes.Clone(text))
	src.what = "configuration"
	t := readTree(src)
	rd := newReader(src, t)
	switch {
	case t.root == nil || absent(t.root):
	case t.root.Kind != yaml.MappingNode:
		rd.note(t.root, "write a line such as "+settings[0].Name+": …", "the file is %s, wanted keys with their values", rd.kind(t.root))
	default:
		rd.refuse(t.root)
		readKeys(rd, t.root, brew.Place{}, settingKeys(settings), &struct{}{})
	}
	rd.faults.sort()
	return rd.faults
}

func settingKeys(settings []Setting) []key[struct{}] {
	keys := make([]key[struct{}], len(settings))
	for i, s := range settings {
		keys[i] = key[struct{}]{s.Name, false, func(rd *reader, p brew.Place, n *yaml.Node, _ *struct{}) {
			text, ok := rd.text(p, n)
			if !ok {
				return
			}
			if err := s.Read(text); err != nil {
				rd.misread(p, n, wrongly(err))
			}
		}}
	}
	return keys
}

func wrongly(err error) *misreading {
	var w *Wrong
	if errors.As(err, &w) {
		return &misreading{w.Message, w.Hint}
	}
	return &misreading{message: err.Error()}
}

// ReadLength reads a length of time as a recipe has it: 8 s, 1:30. The error
// is a *Wrong.
func ReadLength(text string) (time.Duration, error) { return reading(readLength(text)) }

// ReadMass reads a mass as a recipe has it: 14 g, 0.5 oz. The error is a
// *Wrong.
func ReadMass(text string) (brew.Mass, error) { return reading(readMass(text)) }

// ReadCelsius reads a temperature as a recipe has it: 93 °C, 200 °F. The
// error is a *Wrong.
func ReadCelsius(text string) (brew.Celsius, error) { return reading(readCelsius(text)) }

func reading[V any](v V, wrong *misreading) (V, error) {
	if wrong != nil {
		return v, &Wrong{wrong.message, wrong.hint}
	}
	return v, nil
}
