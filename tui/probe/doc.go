// Package probe is what is measured of a terminal and of the keyboard and the
// disk beside it: the questions that a terminal answers, the statistics, and
// the report. It draws no page, opens no file and reads no environment of its
// own.
//
// The way through the package:
//
//	Facts        what the environment says
//	Asker        where the cursor is, asked behind a frame or behind a sign
//	Hand         which keys arrived, and how a held one repeats
//	Spread       many measured times in a few figures
//	Report       all of it as lines of 'name: value'
//
// Nothing in a report is personal: no name of a person or of a machine, no
// path, and of the environment's values only TERM and COLORTERM.
package probe
