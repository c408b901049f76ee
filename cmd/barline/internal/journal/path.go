package journal

import (
	"errors"
	"path/filepath"
	"runtime"
)

// FileName is what the journal's file is called in the platform's place.
const FileName = "journal.db"

// DefaultPath returns where the journal is kept where nobody says otherwise:
// the platform's place for a program's data. getenv is os.Getenv.
func DefaultPath(getenv func(string) string) (string, error) {
	return PathOn(runtime.GOOS, getenv)
}

// PathOn is DefaultPath for a named platform. On Linux it is the place that
// the XDG Base Directory Specification 0.8 gives; a relative XDG_DATA_HOME is
// ignored, as it asks.
func PathOn(goos string, getenv func(string) string) (string, error) {
	switch goos {
	case "windows":
		if dir := getenv("LocalAppData"); dir != "" {
			return dir + `\barline\` + FileName, nil
		}
		return "", errors.New("no place for the journal: LocalAppData is not set")
	case "darwin":
		if home := getenv("HOME"); home != "" {
			return home + "/Library/Application Support/barline/" + FileName, nil
		}
	default:
		if dir := getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
			return dir + "/barline/" + FileName, nil
		}
		if home := getenv("HOME"); home != "" {
			return home + "/.local/share/barline/" + FileName, nil
		}
	}
	return "", errors.New("no place for the journal: HOME is not set")
}
