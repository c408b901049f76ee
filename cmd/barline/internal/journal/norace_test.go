//go:build !race

package journal_test

const slower = 1
