// Package pages holds the pages around the live one: the shelf of recipes
// and a recipe's sheet. Each page is a value with Update and Draw, and tells
// by a message what the person chose.
package pages
