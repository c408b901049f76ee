#!/bin/sh
# Calls cues as a plain loop of sleep and printf does. It begins when a line
# is typed; each line of the file holds the seconds to wait and what to call.
read -r start
while read -r gap name; do
	sleep "$gap"
	printf '%s, by\n' "$name"
done <"$1"
