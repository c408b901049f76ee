package journal_test

import (
	"os"
	"path/filepath"
	"testing"

	"barline/cmd/barline/internal/journal"
)

func TestTheJournalLiesInThePlatformsPlace(t *testing.T) {
	for name, c := range map[string]struct {
		goos string
		env  map[string]string
		want string
	}{
		"the folder for data":           {"linux", map[string]string{"HOME": "/home/a", "XDG_DATA_HOME": "/data"}, "/data/barline/journal.db"},
		"its usual place":               {"linux", map[string]string{"HOME": "/home/a"}, "/home/a/.local/share/barline/journal.db"},
		"a relative one is ignored":     {"linux", map[string]string{"HOME": "/home/a", "XDG_DATA_HOME": "data"}, "/home/a/.local/share/barline/journal.db"},
		"another Unix":                  {"freebsd", map[string]string{"HOME": "/home/a"}, "/home/a/.local/share/barline/journal.db"},
		"macOS":                         {"darwin", map[string]string{"HOME": "/Users/a", "XDG_DATA_HOME": "/data"}, "/Users/a/Library/Application Support/barline/journal.db"},
		"Windows":                       {"windows", map[string]string{"LocalAppData": `C:\Users\a\AppData\Local`, "HOME": "/home/a"}, `C:\Users\a\AppData\Local\barline\journal.db`},
		"Linux without a home":          {"linux", nil, ""},
		"macOS without a home":          {"darwin", map[string]string{"XDG_DATA_HOME": "/data"}, ""},
		"Windows without a local place": {"windows", map[string]string{"HOME": "/home/a"}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := journal.PathOn(c.goos, func(key string) string { return c.env[key] })
			if got != c.want || (err != nil) != (c.want == "") {
				t.Errorf("got %q, %v, want %q", got, err, c.want)
			}
		})
	}
	if _, err := journal.DefaultPath(func(string) string { return t.TempDir() }); err != nil {
		t.Error(err)
	}
}

func TestALinkLeadsToTheSameLocks(t *testing.T) {
	dir := t.TempDir()
	must(t, os.Mkdir(filepath.Join(dir, "real"), 0o700))
	j := open(t, filepath.Join(dir, "real", "journal.db"))
	must(t, os.Symlink(filepath.Join(dir, "real"), filepath.Join(dir, "folder")))
	must(t, os.Symlink(j.Path(), filepath.Join(dir, "link.db")))
	r := brewed(press(t), morning)
	rec := begin(t, j, r)
	must(t, rec.Append(0, follow(r.Plan)[0]))
	for _, path := range []string{filepath.Join(dir, "folder", "journal.db"), filepath.Join(dir, "link.db")} {
		other := open(t, path)
		if other.Path() != j.Path() {
			t.Errorf("%s is %s, want %s", path, other.Path(), j.Path())
		}
		if got := load(t, other, r.ID); got.End != journal.Running {
			t.Errorf("through %s it is %s", path, got.End)
		}
	}
	must(t, rec.End(ctx))
}
