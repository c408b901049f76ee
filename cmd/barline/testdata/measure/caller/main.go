// Command caller calls cues in one of two simple ways, to be measured beside
// barline: it looks at the clock each 100 ms, or it is late on purpose.
//
//	caller poll|late FILE
//
// It begins when a line is typed; each line of the file holds the seconds to
// wait and what to call.
package main

import (
	"bufio"
	"fmt"
	"os"
	"time"
)

const (
	each    = 100 * time.Millisecond // how often the clock is looked at
	tooLate = 30 * time.Millisecond
)

func main() {
	file, err := os.Open(os.Args[2])
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	bufio.NewReader(os.Stdin).ReadString('\n')
	zero, due := time.Now(), time.Duration(0)
	for {
		var gap float64
		var name string
		if n, _ := fmt.Fscan(file, &gap, &name); n < 2 {
			return
		}
		due += time.Duration(gap * float64(time.Second))
		if os.Args[1] == "late" {
			time.Sleep(time.Until(zero.Add(due + tooLate)))
		}
		for time.Since(zero) < due {
			time.Sleep(each)
		}
		fmt.Printf("%s, by\n", name)
	}
}
