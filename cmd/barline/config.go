package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/cup"
	"barline/recipes"

	"github.com/spf13/cobra"
)

// config is the configuration. What is zero was left out.
type config struct {
	by      string
	coffee  string
	lot     string
	setting string
	kettle  *brew.Celsius
	cools   cup.Kettle // that was calibrated; zero where none was
	keys    []string   // that mark, as the terminal library names them
	marks   brew.Policy
	theme   string
	bell    string
	ahead   *time.Duration
	countIn time.Duration
	window  time.Duration
	twelve  bool // times of day with am and pm
	boils   brew.Celsius
	recipes string
	journal string
}

// configKey is one key of the file, with what it is for.
type configKey struct {
	name    string
	example string
	comment string
	read    func(c *config, text string) error
}

// configKeys are the keys in the order in which the file is written.
var configKeys = []configKey{
	{"by", "Ada", "who brews", text(func(c *config) *string { return &c.by })},
	{"coffee", "washed, medium-light", "what is brewed in this shift, where the recipe does not say", text(func(c *config) *string { return &c.coffee })},
	{"lot", "twelve", "its lot", text(func(c *config) *string { return &c.lot })},
	{"setting", "22 clicks", "of the grinder", text(func(c *config) *string { return &c.setting })},
	{"kettle", "96 °C", "what the kettle is set to", readKettle},
	{coolsKey, "40 min ± 2 min", "its time constant off the boil and how far that may be off, as barline cup rest --readings says it", readCools},
	{"keys", "space enter page-down", "the keys that mark; foot switches send page-down, F-keys or digits", readKeys},
	{"marks", "asked", "which beats wait for a mark: all, asked or none", readMarks},
	{"theme", "auto", "the terminal's ground: auto, dark or light", readTheme},
	{"bell", "on", "on or off", readBell},
	{"ahead", "5 s", "how long before a cue it is announced", readAhead},
	{"count-in", "0 s", "between the key and the start", readCountIn},
	{"window", "3 s", "how early and how late a beat may be where its recipe does not say", readDefaultWindow},
	{"clock", "24 h", "times of day: 24 h or 12 h", readClock},
	{"altitude", "200 m", "of the bar, in m or ft: where water boils follows from it", readAltitude},
	{"pressure", "990 hPa", "of the air at the bar, instead of its altitude", readPressure},
	{"recipes", "~/recipes", "the folder of your own recipes; a path counts from the folder of this file, ~ is your home", text(func(c *config) *string { return &c.recipes })},
	{"journal", "~/journal.db", "the file of the record; a path as for the recipes", text(func(c *config) *string { return &c.journal })},
}

// read takes a file of the configuration in.
func (c *config) read(path string, content []byte) recipes.Faults {
	settings := make([]recipes.Setting, len(configKeys))
	for i, k := range configKeys {
		settings[i] = recipes.Setting{Name: k.name, Read: func(text string) error { return k.read(c, text) }}
	}
	return recipes.ReadSettings(path, content, settings)
}

// placed returns the path that is meant by one in the configuration, in the
// given folder: ~ is the home, and what is relative counts from the folder.
func (a *app) placed(path, folder string) string {
	if path = a.fromHome(path); path == "" || filepath.IsAbs(path) {
		return path
	}
	return filepath.Join(folder, path)
}

// fromHome fills in the home for the ~ that a path may begin with. A shell does
// so for a word, but neither in --journal=~/x nor in a file.
func (a *app) fromHome(path string) string {
	home := firstOf(a.getenv("HOME"), a.getenv("USERPROFILE"))
	if rest, ok := strings.CutPrefix(path, "~"); ok && home != "" && (rest == "" || rest[0] == '/' || rest[0] == filepath.Separator) {
		return filepath.Join(home, rest)
	}
	return path
}

// written returns a configuration in which everything is explained and
// nothing is set.
func written() string {
	var b strings.Builder
	b.WriteString("# The configuration of barline. Take the # off a line to set it.\n# A flag goes over the recipe, the recipe over this file.\n")
	for _, k := range configKeys {
		fmt.Fprintf(&b, "\n# %s\n# %s: %s\n", k.comment, k.name, k.example)
	}
	return b.String()
}

// configFile returns where the configuration is: the flag's file, else the
// platform's place.
func (a *app) configFile() (string, error) {
	if a.flags.config != "" {
		return a.flags.config, nil
	}
	folder, err := configFolder(runtime.GOOS, a.getenv)
	return filepath.Join(folder, "config.yaml"), err
}

// configFolder returns the platform's place for a program's configuration: on
// Linux that of the XDG Base Directory Specification 0.8.
func configFolder(goos string, getenv func(string) string) (string, error) {
	base := getenv("XDG_CONFIG_HOME")
	home := getenv("HOME")
	switch {
	case goos == "windows":
		base = getenv("AppData")
	case goos == "darwin" && home != "":
		base = filepath.Join(home, "Library", "Application Support")
	case filepath.IsAbs(base):
	case home != "":
		base = filepath.Join(home, ".config")
	default:
		base = ""
	}
	if base == "" {
		return "", errors.New("no place for the configuration: HOME is not set")
	}
	return filepath.Join(base, "barline"), nil
}

// errNoConfig is that there is no configuration, which is no fault.
var errNoConfig = fs.ErrNotExist

func readConfigFile(path string) ([]byte, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return io.ReadAll(io.LimitReader(file, recipes.MaxSize+1))
}

// newConfig returns the command that writes a configuration to start from, or
// checks the one that is there.
func newConfig(a *app) *cobra.Command {
	return &cobra.Command{
		Use:         "config",
		Short:       "write a configuration to start from, or check the one that is there",
		Args:        flagsAlone,
		Annotations: map[string]string{withoutConfig: "it checks it"},
		RunE: func(*cobra.Command, []string) error {
			path, err := a.configFile()
			if err != nil {
				return &inputError{err.Error(), "name a file with --config"}
			}
			text, err := readConfigFile(path)
			if errors.Is(err, errNoConfig) {
				return a.writeConfig(path)
			}
			if err != nil {
				return &inputError{path + ": " + plainError(err), ""}
			}
			if faults := a.config.read(path, text); len(faults) > 0 {
				fmt.Fprint(a.stdout, faults.Text())
				return errTold
			}
			fmt.Fprintf(a.stdout, "%s is there, and sound\n", path)
			return nil
		},
	}
}

// writeConfig makes the file; one that came into being meanwhile is not
// touched.
func (a *app) writeConfig(path string) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return &inputError{path + ": " + plainError(err), ""}
	}
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err == nil {
		_, err = io.WriteString(file, written())
		err = errors.Join(err, file.Close())
	}
	if err != nil {
		if file != nil {
			os.Remove(path) // a half of it would be in the way
		}
		return &inputError{path + ": " + plainError(err), ""}
	}
	fmt.Fprintf(a.stdout, "wrote %s\n", path)
	return nil
}
