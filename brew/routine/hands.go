package routine

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/bar"
)

// job is what the hands do beside the steps of the brews.
type job struct {
	Task
	name, prompt string
	start, over  time.Duration
	hands        brew.Hands
}

// hands gathers what is prepared, served and cleared away into a lane, and
// says in out which cue serves which cup.
func (p *Problem) hands(best bar.Plan, out *Plan) {
	var jobs []job
	for i, b := range p.routine.Brews {
		if b.Ready {
			for _, c := range p.plans[i].Prepare {
				out.Ready = append(out.Ready, b.ID+": "+c.Do)
			}
		}
		jobs = append(jobs, p.jobs(best, i)...)
	}
	slices.SortStableFunc(jobs, func(a, b job) int { return cmp.Compare(a.start, b.start) })
	out.Hands = lanePlan(jobs)
	for n, j := range jobs {
		out.Tasks = append(out.Tasks, j.Task)
		if j.Serves {
			out.Cups[j.Cup].Serving = n
		}
	}
}

// jobs returns what there is to do for a brew beside its steps.
func (p *Problem) jobs(best bar.Plan, i int) (out []job) {
	id := p.routine.Brews[i].ID
	for a, act := range p.Patterns[i].Acts {
		if act.Cue >= 0 || len(act.Uses) == 0 && act.Length == 0 {
			continue
		}
		j := job{Task: Task{i, a == p.serving[i]}, name: id + ": " + act.Name, prompt: id + ": " + act.Name,
			start: seconds(best.Starts[i][a]), over: seconds(act.Length), hands: brew.Free}
		if slices.Contains(act.Uses, bar.Hands) {
			j.hands = brew.Busy
		}
		if j.Serves {
			j.name, j.prompt = Serving+" of "+id, "Serve "+id
		}
		out = append(out, j)
	}
	return out
}

// lanePlan returns a lane of jobs, each pinned to the clock. Of a serving the
// end is asked.
func lanePlan(jobs []job) *brew.Plan {
	p := &brew.Plan{Name: "hands", Method: brew.OtherMethod, Cues: make([]brew.Cue, len(jobs))}
	window := brew.Window{Early: brew.DefaultWindow, Late: brew.DefaultWindow}
	for i, j := range jobs {
		p.Cues[i] = brew.Cue{
			Action: brew.Do, Name: j.name, Key: strings.ToLower(j.name), Prompt: j.prompt, Start: j.start, End: j.start + j.over,
			Pinned: brew.PinClock, Before: -1, Hands: j.hands,
		}
		if j.Serves {
			p.Cues[i].Action = brew.Serve
		}
		for _, e := range []brew.Edge{brew.StartEdge, brew.EndEdge} {
			b := brew.Beat{Point: brew.Point{Cue: i, Edge: e}, Owner: brew.Person, Due: j.start, Window: window}
			if e == brew.EndEdge {
				b.Due, b.Asked = j.start+j.over, j.Serves
			}
			b.Key, b.Name = p.Cues[i].Key+", "+string(e), j.name+", "+string(e)
			p.Beats = append(p.Beats, b)
		}
		p.End = max(p.End, j.start+j.over)
	}
	slices.SortStableFunc(p.Beats, func(a, b brew.Beat) int { return cmp.Compare(a.Due, b.Due) })
	for n, b := range p.Beats {
		if b.Edge == brew.StartEdge {
			p.Cues[b.Cue].StartBeat = n
		} else {
			p.Cues[b.Cue].EndBeat = n
		}
	}
	return p
}
