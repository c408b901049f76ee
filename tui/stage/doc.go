// Package stage is the live screen: one prompt large under a running clock,
// what comes next, words of care, the timeline, the answer to the latest key,
// the keys. A page fills a View with the texts of a moment and Needs with the
// longest that it will ever show; Draw puts them on a canvas.
//
// The package knows no brew and no keys of its own. Where things stand follows
// from the size and the needs, never from the moment, so that nothing moves
// while a person reads it.
package stage
