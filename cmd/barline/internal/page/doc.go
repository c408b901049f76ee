// Package page writes pages for the wall and for the team: HTML and SVG of
// values that are given, to print or to look at without a script.
//
// A page is one file. It asks for nothing from anywhere, follows the light or
// the dark of who reads it, prints on A4, and says each picture in words too.
// The package opens no file and asks no clock: the same values give the same
// bytes.
package page
