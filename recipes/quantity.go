package recipes

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"barline/brew"
)

// misreading says why a value could not be read. It is nil where it could.
type misreading struct {
	message string // follows the name of the key
	hint    string
}

// MostMass is the mass above which a figure is a slip of the pen, whatever it
// is the mass of.
const MostMass = 1000 * brew.Kilogram

// measure is a kind of quantity that one figure and one unit make up.
type measure struct {
	units   []string          // as the documentation has them
	usual   string            // the unit a hint proposes
	near    map[string]string // other spellings, in small letters, and the unit that is meant
	example string
}

var (
	massMeasure = measure{
		units: []string{"g", "kg", "oz"}, usual: "g", example: "14 g",
		near: map[string]string{
			"gr": "g", "gm": "g", "gs": "g", "gram": "g", "grams": "g", "gramme": "g", "grammes": "g",
			"kilo": "kg", "kilos": "kg", "kgs": "kg", "kilogram": "kg", "kilograms": "kg",
			"ounce": "oz", "ounces": "oz", "ozs": "oz",
		},
	}
	heatMeasure = measure{
		units: []string{"°C", "C", "°F", "F"}, usual: "°C", example: "93 °C",
		near: map[string]string{
			"celsius": "°C", "degrees celsius": "°C", "degree celsius": "°C", "deg c": "°C", "degc": "°C", "ºc": "°C", "º c": "°C", "° c": "°C", "℃": "°C",
			"fahrenheit": "°F", "degrees fahrenheit": "°F", "deg f": "°F", "degf": "°F", "ºf": "°F", "º f": "°F", "° f": "°F", "℉": "°F",
		},
	}
	shareMeasure = measure{
		units: []string{"%"}, usual: "%", example: "1.40 %",
		near: map[string]string{"percent": "%", "per cent": "%", "pct": "%", "pc": "%"},
	}
)

// volumes are what people write where a scale needs a mass.
var volumes = map[string]bool{
	"ml": true, "millilitre": true, "millilitres": true, "milliliter": true, "milliliters": true,
	"cc": true, "cl": true, "dl": true, "l": true, "litre": true, "litres": true, "liter": true, "liters": true,
	"fl oz": true, "floz": true, "cup": true, "cups": true,
}

// figure is a decimal figure as it was written.
type figure struct{ whole, part string }

// The most figures before the decimal point, so that no quantity overflows.
const mostFigures = 7

var (
	figureAndUnit = regexp.MustCompile(`^([-+−±]?)([0-9][0-9.,]*|\.[0-9]+) ?(.*)$`)
	plainFigure   = regexp.MustCompile(`^[0-9]+(\.[0-9]+)?$`)
	rangeEnd      = regexp.MustCompile(`^(-|–|to|\.\.+) ?[0-9]`)
	thousands     = regexp.MustCompile(`^[1-9][0-9]{0,2}(,[0-9]{3})+$`)
)

// read splits a quantity into its figure and one of the measure's units.
func (m measure) read(text string) (figure, string, *misreading) {
	sign, digits, unit, wrong := cut(text, m.example)
	if wrong != nil {
		return figure{}, "", wrong
	}
	for _, u := range m.units {
		if u == unit {
			f, wrong := readFigure(text, sign, digits, unit)
			return f, unit, wrong
		}
	}
	return figure{}, "", m.wrongUnit(text, digits, unit)
}

// cut splits a quantity into sign, figure and unit, whatever the unit is.
func cut(text, example string) (sign, digits, unit string, wrong *misreading) {
	parts := figureAndUnit.FindStringSubmatch(text)
	if parts == nil {
		return "", "", "", &misreading{quote(text) + " is not a number with a unit", "write a figure such as " + example}
	}
	return parts[1], parts[2], parts[3], nil
}

// readFigure checks a figure that has its unit.
func readFigure(text, sign, digits, unit string) (figure, *misreading) {
	switch {
	case thousands.MatchString(digits):
		return figure{}, &misreading{quote(text) + " has a comma in its figure", "write " + strings.ReplaceAll(digits, ",", "") + " " + unit}
	case strings.Contains(digits, ","):
		return figure{}, &misreading{quote(text) + " has a decimal comma", "write " + strings.Replace(digits, ",", ".", 1) + " " + unit}
	case strings.HasPrefix(digits, "."):
		return figure{}, &misreading{quote(text) + " has no figure before the point", "write 0" + digits + " " + unit}
	case !plainFigure.MatchString(digits):
		return figure{}, &misreading{quote(digits) + " is not a number", "write one figure, with a point before its decimals"}
	case sign == "-" || sign == "−":
		return figure{}, &misreading{quote(text) + " is below zero", "write " + digits + " " + unit}
	case sign != "":
		return figure{}, &misreading{quote(text) + " has a sign", "write " + digits + " " + unit}
	}
	whole, part, _ := strings.Cut(digits, ".")
	whole, part = strings.TrimLeft(whole, "0"), strings.TrimRight(part, "0")
	if len(whole) > mostFigures {
		return figure{}, &misreading{quote(text) + " is too large to be meant", "check the figure"}
	}
	return figure{whole, part}, nil
}

// wrongUnit says what is wrong with a unit, and which was meant.
func (m measure) wrongUnit(text, digits, unit string) *misreading {
	wanted := ", wanted " + list(m.units, "or")
	bare, small := strings.Replace(digits, ",", ".", 1), strings.ToLower(unit)
	switch {
	case rangeEnd.MatchString(unit):
		return &misreading{quote(text) + " is a range", "give one figure"}
	case unit == "":
		return &misreading{quote(text) + " has no unit" + wanted, "write " + bare + " " + m.guess(bare)}
	case m.usual == "g" && volumes[small]:
		return &misreading{quote(text) + " is a volume" + wanted, m.weighInstead(bare, small)}
	}
	for _, u := range m.units {
		if strings.HasPrefix(unit, u+" ") || strings.HasPrefix(unit, u+",") {
			return &misreading{quote(text) + " has words behind its unit", "write " + bare + " " + u + " alone"}
		}
		if strings.ToLower(u) == small {
			return &misreading{quote(text) + " has the unit " + quote(unit) + wanted, "write " + bare + " " + u}
		}
	}
	if meant := m.near[small]; meant != "" {
		return &misreading{quote(text) + " has the unit " + quote(unit) + wanted, "write " + bare + " " + meant}
	}
	return &misreading{quote(text) + " has the unit " + quote(unit) + wanted, "write a figure such as " + m.example}
}

// guess returns the unit that a figure without one has.
func (m measure) guess(figure string) string {
	if v, err := strconv.ParseFloat(figure, 64); err == nil && m.usual == "°C" && v > float64(brew.MostTemperature) {
		return "°F"
	}
	return m.usual
}

// weighInstead tells why a volume will not do: at 93 °C a litre of water has
// 963 g (Kell 1975, equation 16).
func (measure) weighInstead(figure, unit string) string {
	if unit == "ml" {
		return "write " + figure + " g: a scale tells the mass, and 1 ml of water at 93 °C has only 0.96 g"
	}
	return "give the mass in g: a scale tells the mass, and 1 ml of water at 93 °C has only 0.96 g"
}

// scaled returns the figure as a whole number of its 10^-places parts; false
// where it is finer than that.
func (f figure) scaled(places int) (int64, bool) {
	if len(f.part) > places {
		return 0, false
	}
	n, err := strconv.ParseInt("0"+f.whole+f.part+strings.Repeat("0", places-len(f.part)), 10, 64)
	return n, err == nil
}

func (f figure) float() float64 {
	v, _ := strconv.ParseFloat("0"+f.whole+"."+f.part+"0", 64)
	return v
}

// readMass reads a mass. Grams and kilograms are exact and no finer than
// 1 mg; ounces are rounded to it.
func readMass(text string) (brew.Mass, *misreading) {
	f, unit, wrong := massMeasure.read(text)
	if wrong != nil {
		return 0, wrong
	}
	places := map[string]int{"g": 3, "kg": 6}[unit]
	n, ok := f.scaled(places)
	if unit == "oz" {
		n, ok = int64(math.Round(f.float()*brew.MilligramsPerOunce)), true
	}
	if !ok {
		return 0, &misreading{quote(text) + " is finer than 0.001 g", "round it to what the scale shows"}
	}
	if brew.Mass(n) > MostMass {
		return 0, &misreading{quote(text) + " is more than 1000 kg", "check the figure and its unit"}
	}
	return brew.Mass(n), nil
}

// readCelsius reads a temperature, no finer than 0.01 degree. Degrees
// Fahrenheit are rounded to 0.01 °C.
func readCelsius(text string) (brew.Celsius, *misreading) {
	f, unit, wrong := heatMeasure.read(text)
	if wrong != nil {
		return 0, wrong
	}
	n, ok := f.scaled(2)
	if !ok {
		return 0, &misreading{quote(text) + " is finer than 0.01 degree", "round it to what the kettle shows"}
	}
	if strings.HasSuffix(unit, "F") {
		n = int64(math.Round(float64(n-3200) * 5 / 9))
	}
	return brew.Celsius(float64(n) / 100), nil
}

// readPercent reads a percentage above 0 %, no finer than 0.01 %.
func readPercent(text string) (brew.Percent, *misreading) {
	f, _, wrong := shareMeasure.read(text)
	if wrong != nil {
		return 0, wrong
	}
	n, ok := f.scaled(2)
	if !ok {
		return 0, &misreading{quote(text) + " is finer than 0.01 %", "round it to 0.01 %"}
	}
	if n == 0 {
		return 0, &misreading{quote(text) + " is no aim", "leave it out"}
	}
	return brew.Percent(float64(n) / 100), nil
}

// quote puts what a person wrote into quotation marks, cut where it is long.
func quote(text string) string {
	const most = 60
	if runes := []rune(text); len(runes) > most {
		text = string(runes[:most]) + "..."
	}
	return strconv.Quote(text)
}
