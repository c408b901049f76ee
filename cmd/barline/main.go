// Command barline turns a coffee recipe into cues, calls them while a person
// brews, and says where the time went.
package main

import (
	"context"
	"os"
)

func main() {
	os.Exit(run(context.Background(), machine()))
}
