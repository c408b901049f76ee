package brew

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// Clock returns a moment as m:ss, or h:mm:ss past an hour, seconds cut off so
// that a clock shows a second when it has been reached. Tenths and finer are
// dropped. A negative moment gets a minus sign and counts up to zero.
func Clock(d time.Duration) string {
	s, sign := int64(d/time.Second), ""
	if d%time.Second < 0 {
		s--
	}
	if s < 0 {
		s, sign = -s, "-"
	}
	if s >= 3600 {
		return fmt.Sprintf("%s%d:%02d:%02d", sign, s/3600, s/60%60, s%60)
	}
	return fmt.Sprintf("%s%d:%02d", sign, s/60, s%60)
}

// Exact returns a moment as Clock does, with the fraction of the second where
// there is one, rounded to a millisecond: 0:07.5.
func Exact(d time.Duration) string {
	sign, d := parted(d)
	text := sign + Clock(d)
	if rest := d % time.Second; rest != 0 {
		text += strings.TrimPrefix(seconds(rest), "0")
	}
	return text
}

// Spoken returns a length of time as a person says it, rounded to a
// millisecond: 8 s, 1.5 s, 1 min 30 s.
func Spoken(d time.Duration) string {
	sign, d := parted(d)
	if d < time.Minute {
		return sign + seconds(d) + " s"
	}
	text := sign + strconv.FormatInt(int64(d/time.Minute), 10) + " min"
	if rest := d % time.Minute; rest != 0 {
		text += " " + seconds(rest) + " s"
	}
	return text
}

// parted rounds d to a millisecond and takes its sign apart.
func parted(d time.Duration) (sign string, size time.Duration) {
	if d = d.Round(time.Millisecond); d < 0 {
		sign = "-"
	}
	return sign, d.Abs()
}

// Signed returns a drift in seconds with its sign and one decimal, the finest
// that a key pressed by a person can bear: +2.4 s, 0.0 s, -0.3 s.
func Signed(d time.Duration) string {
	tenths := math.Round(d.Seconds() * 10)
	if tenths == 0 {
		return "0.0 s"
	}
	return fmt.Sprintf("%+.1f s", tenths/10)
}

// seconds returns d, a whole number of milliseconds, in seconds.
func seconds(d time.Duration) string {
	return strconv.FormatFloat(float64(d.Milliseconds())/1000, 'f', -1, 64)
}
