package journal_test

import (
	"bytes"
	"database/sql"
	"path/filepath"
	"testing"

	"barline/cmd/barline/internal/journal"
)

// raw opens a file as any program could.
func raw(t testing.TB, path string) *sql.DB {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+filepath.ToSlash(path)+"?_pragma=busy_timeout(5000)")
	if err != nil {
		t.Fatal(err)
	}
	db.SetMaxOpenConns(1)
	t.Cleanup(func() { db.Close() })
	return db
}

// tamper changes a file behind the journal's back.
func tamper(t testing.TB, path string, statements ...string) {
	t.Helper()
	db := raw(t, path)
	defer db.Close()
	for _, s := range statements {
		if _, err := db.Exec(s); err != nil {
			t.Fatalf("%s: %v", s, err)
		}
	}
}

func count(t testing.TB, path, query string, args ...any) (n int) {
	t.Helper()
	db := raw(t, path)
	defer db.Close()
	if err := db.QueryRow(query, args...).Scan(&n); err != nil {
		t.Fatalf("%s: %v", query, err)
	}
	return n
}

func exported(t testing.TB, j *journal.Journal) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := j.Export(ctx, &out, journal.Filter{}); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// identity exports, imports into an empty journal and exports that, and fails
// where the two are not the same bytes. It returns them.
func identity(t testing.TB, j *journal.Journal) []byte {
	t.Helper()
	first := exported(t, j)
	other := fresh(t)
	if _, err := other.Import(ctx, bytes.NewReader(first)); err != nil {
		t.Fatalf("%v\n%s", err, first)
	}
	sound(t, other)
	if second := exported(t, other); !bytes.Equal(first, second) {
		t.Errorf("exported\n%s\nand after importing\n%s", first, second)
	}
	return first
}
