// Package service is the page that calls a whole service: orders come in, and
// one prompt after the other stands large while several brews run side by
// side. After the service it tells what each order waited.
//
// The page is a value. What goes on is a bar.Service; the page folds events
// into it and draws what it answers. Plans are looked for in commands, and are
// events like any other when they come back. Keys and ticks carry the instants
// at which they happened, so that neither Update nor Draw asks a clock.
package service
