package bar_test

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"barline/brew/bar"
)

// verdict is what a solver says of an instance: its best, and whether that is
// proven to be the optimum.
type verdict struct {
	cost   int
	any    bool
	proven bool
	took   time.Duration // of a processor, from process start to end, all processes together
	not    string        // why it was not asked
}

// solver is a program that solves instances.
type solver struct {
	name  string
	solve func(ctx context.Context, dir, name, how string, limit time.Duration) verdict
}

// series are the instances that are set side by side, by size.
var series = []struct {
	name, how string
	sizes     []int
}{
	{"A1-sum", "rigid", []int{2, 3, 4, 5, 6, 7, 8}},
	{"B1-cmax", "rigid", []int{2, 3, 4, 5, 6, 7, 8}},
	{"A1-sum", "tolerance", []int{2, 3, 4, 5, 6, 7, 8}},
	{"B1-cmax", "tolerance", []int{2, 3, 4, 5, 6, 7, 8}},
	{"C2-sum", "rigid", []int{2, 3, 4, 5, 6}},
	{"D2-cmax", "rigid", []int{2, 3, 4, 5, 6}},
	{"C2-sum", "tolerance", []int{2, 3, 4}},
	{"D2-cmax", "tolerance", []int{2, 3, 4}},
}

// Sets barline beside general solvers on the same instances in one run, one
// process after another, and checks that whoever proves an optimum proves the
// same one. .ci/solvers installs them and runs this. BARLINE_SOLVERS is how
// many seconds each may take for an instance.
func TestBesideGeneralSolvers(t *testing.T) {
	seconds, _ := strconv.Atoi(os.Getenv("BARLINE_SOLVERS"))
	if seconds <= 0 {
		t.Skip("SKIPPED, NOT TESTED: .ci/solvers sets general solvers beside")
	}
	limit := time.Duration(seconds) * time.Second
	solvers := append([]solver{{"barline", proveBarline}}, general(t)...)
	known := optima(t)
	for _, s := range series {
		fmt.Printf("\n%s, %s; processor seconds from process start to end, limit %d s on the clock\n%-3s %8s", s.name, s.how, seconds, "n", "optimum")
		for _, by := range solvers {
			fmt.Printf(" %14s", by.name)
		}
		fmt.Printf(" %s\n", "barline faster than the better")
		gaveUp := map[string]bool{}
		for _, n := range s.sizes {
			compare(t, solvers, fmt.Sprintf("%s-n%02d", s.name, n), s.how, n, limit, gaveUp, known)
		}
	}
}

// compare solves one instance with everyone and prints the row.
func compare(t *testing.T, solvers []solver, name, how string, n int, limit time.Duration, gaveUp map[string]bool, known map[string]map[string]reading) {
	optimum, from := 0, ""
	if k, is := known[name][how]; is {
		optimum, from = k.Optimum, "what is known"
	}
	row, ours, better := "", time.Duration(0), time.Duration(0)
	for _, s := range solvers {
		if gaveUp[s.name] {
			row += fmt.Sprintf(" %14s", "-")
			continue
		}
		ctx, stop := context.WithTimeout(context.Background(), limit+5*time.Second)
		f := s.solve(ctx, t.TempDir(), name, how, limit)
		stop()
		text := f.not
		switch {
		case f.not != "":
		case !f.proven:
			text, gaveUp[s.name] = fmt.Sprintf(">%d", int(limit.Seconds())), true
			if f.any {
				text += fmt.Sprintf(" [%d]", f.cost)
			}
		case from != "" && f.cost != optimum:
			t.Errorf("%s %s: %s proves %d, %s says %d", name, how, s.name, f.cost, from, optimum)
			text = fmt.Sprintf("WRONG %d", f.cost)
		default:
			text = fmt.Sprintf("%.3f", f.took.Seconds())
			optimum, from = f.cost, s.name
			if s.name == "barline" {
				ours = f.took
			} else if better == 0 || f.took < better {
				better = f.took
			}
		}
		if f.any && from != "" && f.cost < optimum {
			t.Errorf("%s %s: %s finds %d, %s proves %d", name, how, s.name, f.cost, from, optimum)
		}
		row += fmt.Sprintf(" %14s", text)
	}
	times := "-"
	if ours > 0 && better > 0 {
		times = fmt.Sprintf("%.1f times", better.Seconds()/ours.Seconds())
	} else if ours > 0 {
		times = "alone"
	}
	best := "?"
	if from != "" {
		best = fmt.Sprint(optimum)
	}
	fmt.Printf("%-3d %8s%s %s\n", n, best, row, times)
}

// general returns the general solvers that are here, and says of the others
// that they are not.
func general(t *testing.T) (out []solver) {
	skip := func(what string) { fmt.Printf("*** SKIPPED, NOT COMPARED: there is no %s here ***\n", what) }
	here := func(program string) bool { _, err := exec.LookPath(program); return err == nil }
	if here("minizinc") && here("fzn-gecode") {
		out = append(out, solver{"Gecode", solveGecode})
	} else {
		skip("MiniZinc with Gecode")
	}
	if here("z3") {
		out = append(out, solver{"z3", solveZ3})
	} else {
		skip("z3")
	}
	if here("cbc") {
		out = append(out, solver{"CBC", solveCBC})
	} else {
		skip("CBC")
	}
	if here("node") && os.Getenv("BARLINE_HIGHS") != "" {
		out = append(out, solver{"HiGHS", solveHiGHS})
	} else {
		skip("HiGHS")
	}
	if len(out) < 2 {
		t.Errorf("%d general solvers are here, wanted two", len(out))
	}
	return out
}

// layOut returns the model of an instance.
func layOut(name, how string) *model {
	p := load(panics{}, name)
	if how == "rigid" {
		p = p.Rigid()
	}
	return newModel(p, how == "rigid")
}

// panics is a test that only helps to load what is there.
type panics struct{ testing.TB }

func (panics) Helper()           {}
func (panics) Fatal(args ...any) { panic(fmt.Sprint(args...)) }

// proveBarline proves the instance in a process of its own.
func proveBarline(ctx context.Context, _, name, how string, limit time.Duration) verdict {
	cmd := exec.CommandContext(ctx, os.Args[0], "-test.run", "^TestProveOneInstance$", "-test.v")
	cmd.Env = append(os.Environ(), "BARLINE_SOLVERS=", "BARLINE_PROVE="+name+" "+how+" "+limit.String())
	text, took := timed(cmd)
	return said(text, took, `cost=(\d+)`, "PROVEN")
}

// Proves one instance for TestBesideGeneralSolvers, as a solver of its own
// would.
func TestProveOneInstance(t *testing.T) {
	words := strings.Fields(os.Getenv("BARLINE_PROVE"))
	if len(words) != 3 {
		t.Skip("SKIPPED, NOT TESTED: it is a part of TestBesideGeneralSolvers")
	}
	limit, err := time.ParseDuration(words[2])
	if err != nil {
		t.Fatal(err)
	}
	p := read(t, words[0], words[1])
	s, err := bar.NewSearch(p, nil)
	if err != nil {
		t.Fatal(err)
	}
	for end := time.Now().Add(limit); s.Advance(256) && time.Now().Before(end); {
	}
	if pl, any := s.Best(); any {
		sound(t, p, pl)
		fmt.Printf("cost=%d\n", cost(p, pl))
	}
	if s.Over() {
		fmt.Println("PROVEN")
	}
}

// timed runs a program to its end.
func timed(cmd *exec.Cmd) (string, time.Duration) {
	text, _ := cmd.CombinedOutput()
	return string(text), worked(cmd)
}

// worked returns what a program that is over took of the processors: unlike
// the time on the clock that does not grow with whatever else goes on.
func worked(cmd *exec.Cmd) time.Duration {
	if cmd.ProcessState == nil {
		return 0
	}
	return cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
}

// said reads a solver's last figure, and whether it claims that to be best.
func said(text string, took time.Duration, figure, claim string) verdict {
	f := verdict{took: took, proven: strings.Contains(text, claim)}
	if all := regexp.MustCompile(figure).FindAllStringSubmatch(text, -1); len(all) > 0 {
		x, err := strconv.ParseFloat(all[len(all)-1][1], 64)
		f.cost, f.any = int(x+0.5), err == nil
	}
	f.proven = f.proven && f.any
	return f
}

func written(dir, file, text string) string {
	path := filepath.Join(dir, file)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		panic(err)
	}
	return path
}

func solveGecode(ctx context.Context, dir, name, how string, limit time.Duration) verdict {
	path := written(dir, "model.mzn", layOut(name, how).minizinc())
	text, took := timed(exec.CommandContext(ctx, "minizinc", "--solver", "gecode", "--time-limit", fmt.Sprint(limit.Milliseconds()), path))
	if strings.Contains(text, "rror:") {
		return verdict{not: "error"}
	}
	return said(text, took, `cost=(\d+)`, "==========")
}

// solveZ3 asks for a plan, then for ever better ones, until there is none: the
// solver's own way to minimise has been seen to return what is not least.
func solveZ3(ctx context.Context, _, name, how string, limit time.Duration) verdict {
	ctx, stop := context.WithTimeout(ctx, limit)
	defer stop()
	cmd := exec.CommandContext(ctx, "z3", "-in", "-smt2")
	in, _ := cmd.StdinPipe()
	out, _ := cmd.StdoutPipe()
	if err := cmd.Start(); err != nil {
		return verdict{not: "error"}
	}
	io.WriteString(in, layOut(name, how).smtlib())
	f, lines := verdict{}, bufio.NewScanner(out)
	for {
		io.WriteString(in, "(check-sat)\n")
		if !lines.Scan() {
			break
		}
		answer := lines.Text()
		if answer != "sat" {
			f.proven = f.any && answer == "unsat"
			if strings.Contains(answer, "error") {
				f.not = "error"
			}
			break
		}
		io.WriteString(in, "(eval cost)\n")
		if !lines.Scan() {
			break
		}
		f.cost, _ = strconv.Atoi(lines.Text())
		f.any = true
		fmt.Fprintf(in, "(assert (< cost %d))\n", f.cost)
	}
	in.Close()
	cmd.Wait()
	f.took = worked(cmd)
	return f
}

func solveCBC(ctx context.Context, dir, name, how string, limit time.Duration) verdict {
	text := layOut(name, how).lp()
	if text == "" {
		return verdict{not: "too large"}
	}
	path := written(dir, "model.lp", text)
	answer, took := timed(exec.CommandContext(ctx, "cbc", path, "-sec", fmt.Sprint(int(limit.Seconds())), "-solve"))
	return said(answer, took, `Objective value:\s+([0-9.]+)`, "Result - Optimal solution found")
}

func solveHiGHS(ctx context.Context, dir, name, how string, limit time.Duration) verdict {
	text := layOut(name, how).lp()
	if text == "" {
		return verdict{not: "too large"}
	}
	path := written(dir, "model.lp", text)
	program := `const fs = require("fs");
require("highs")().then(h => {
	const r = h.solve(fs.readFileSync(process.argv[1], "utf8"), {time_limit: +process.argv[2], mip_rel_gap: 0, output_flag: false});
	console.log("status=" + r.Status + " cost=" + r.ObjectiveValue);
});`
	cmd := exec.CommandContext(ctx, "node", "-e", program, path, fmt.Sprint(int(limit.Seconds())))
	cmd.Env = append(os.Environ(), "NODE_PATH="+os.Getenv("BARLINE_HIGHS"))
	answer, took := timed(cmd)
	return said(answer, took, `cost=([0-9.]+)`, "status=Optimal")
}

// The models say what the instances say: every optimum that is known is a
// plan of theirs, as far as differences and gaps go.
func TestModelsForOthersHoldTheSamePlans(t *testing.T) {
	for _, name := range []string{"A1-sum-n05", "B1-cmax-n04", "C2-sum-n04", "D2-cmax-n03"} {
		for _, how := range []string{"rigid", "tolerance"} {
			p := read(t, name, how)
			m := newModel(p, how == "rigid")
			pl := planned(t, p, nil, 2000)
			value := map[string]int{"": 0}
			for j := range p.Orders {
				value[fmt.Sprintf("z%d", j)] = pl.Zeros[j]
				for a, at := range pl.Starts[j] {
					value[fmt.Sprintf("x%d_%d", j, a)] = at
				}
			}
			for _, r := range m.least {
				if value[r.to]-value[r.from] < r.least {
					t.Errorf("%s %s: %s - %s is %d, the model wants %d", name, how, r.to, r.from, value[r.to]-value[r.from], r.least)
				}
			}
			for j := range p.Orders {
				for i := range j {
					if how != "rigid" {
						break
					}
					for _, g := range m.gaps(i, j) {
						if d := pl.Zeros[j] - pl.Zeros[i]; g.lo < d && d < g.hi {
							t.Errorf("%s: brews %d apart, which the model forbids", name, d)
						}
					}
				}
				v, off := m.ready(j)
				if got := value[v] + off; got != p.Ready(pl, j) {
					t.Errorf("%s %s: order %d ready at %d, in the model at %d", name, how, j, p.Ready(pl, j), got)
				}
			}
			if bytes.Count([]byte(m.smtlib()), []byte("(")) != bytes.Count([]byte(m.smtlib()), []byte(")")) {
				t.Errorf("%s %s: brackets do not match", name, how)
			}
		}
	}
}
