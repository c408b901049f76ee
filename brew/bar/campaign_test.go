package bar_test

import "os"

// campaign says that the long tests are wanted.
var campaign = os.Getenv("BARLINE_CAMPAIGN") != ""
