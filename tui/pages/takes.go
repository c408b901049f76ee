package pages

import (
	"barline/brew/routine"
	"barline/tui/keys"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
)

// TakesSource is what the takes page asks the record for. It is asked from
// commands only.
type TakesSource interface {
	// Takes returns every take of the routine that can be read, oldest first,
	// and how many cannot.
	Takes(name string) (all []routine.Result, leftOut int, err error)
}

// TakesMsg says whose takes the person wants to see: the name of a routine.
type TakesMsg struct{ Routine string }

// TakesSeenMsg is the answer to what the takes page asked for.
type TakesSeenMsg struct {
	all     []routine.Result
	leftOut int
	err     error
}

// Takes is the page of a routine's takes: its sections over the takes, the
// drift built up through the chosen one, the list of them, and two beside each
// other.
type Takes struct {
	source  TakesSource
	keys    TakesKeys
	ascii   bool
	name    string
	all     []routine.Result
	pools   []routine.Pool // of whole and partial takes, that of the latest first
	pool    int
	table   routine.Table
	at      int  // the chosen take
	pairs   bool // it is set beside the take of beside
	beside  int
	rows    []routine.Pair
	top     int // the first row shown of these
	leftOut int

	waiting       bool
	err           error
	width, height int
}

// NewTakes returns the page of a routine and the command that fills it.
func NewTakes(source TakesSource, name string, k TakesKeys, ascii bool) (Takes, tea.Cmd) {
	t := Takes{source: source, keys: k, ascii: ascii, name: name, waiting: true}
	return t, func() tea.Msg {
		all, leftOut, err := source.Takes(name)
		return TakesSeenMsg{all, leftOut, err}
	}
}

// Resize tells the page how many cells it may draw on.
func (t Takes) Resize(width, height int) Takes {
	t.width, t.height = max(width, 0), max(height, 0)
	return t
}

// TakesKeys are the keys of the takes page.
type TakesKeys struct {
	Up, Down, Open, More, Earlier, Pool, Leave key.Binding
}

// DefaultTakesKeys returns the keys of the takes page.
func DefaultTakesKeys() TakesKeys {
	bind := func(help, desc string, keys ...string) key.Binding {
		return key.NewBinding(key.WithKeys(keys...), key.WithHelp(help, desc))
	}
	return TakesKeys{
		Up:      bind("up", "take before", "up"),
		Down:    bind("down", "next take", "down"),
		Open:    bind("enter", "beside the latest", "enter", " "),
		More:    bind("page-down", "more", "pgdown"),
		Earlier: bind("page-up", "back up", "pgup"),
		Pool:    bind("v", "other takes", "v"),
		Leave:   DefaultRecordKeys().Leave,
	}
}

// All returns the keys in the order of the help.
func (k TakesKeys) All() []key.Binding {
	return []key.Binding{k.Open, k.Leave, k.Pool, k.Down, k.Up, k.More, k.Earlier}
}

// Update answers a message.
func (t Takes) Update(msg tea.Msg) (Takes, tea.Cmd) {
	switch msg := msg.(type) {
	case TakesSeenMsg:
		return t.seen(msg), nil
	case keys.Press:
		return t.press(msg)
	}
	return t, nil
}

// seen takes in what was asked for.
func (t Takes) seen(msg TakesSeenMsg) Takes {
	t.waiting, t.err, t.all, t.leftOut = false, msg.err, msg.all, msg.leftOut
	t.pools = nil
	for i := len(t.all) - 1; i >= 0; i-- {
		t.pools = addPool(t.pools, t.all[i])
	}
	return t.look(0)
}

// addPool adds the pool of a take that counts, whole ones with water first.
func addPool(pools []routine.Pool, r routine.Result) []routine.Pool {
	p := routine.PoolOf(r)
	if len(p.In([]routine.Result{r})) == 0 {
		return pools
	}
	for _, known := range pools {
		if known == p {
			return pools
		}
	}
	if plain := !r.Partial && !r.Dry; plain && len(pools) > 0 && (pools[0].Dry || pools[0].From > 0 || pools[0].To+1 < len(r.Plan.Sections)) {
		return append([]routine.Pool{p}, pools...)
	}
	return append(pools, p)
}

// look turns to a pool, and chooses its latest take.
func (t Takes) look(pool int) Takes {
	t.pool, t.pairs, t.top, t.table, t.at = pool, false, 0, routine.Table{}, 0
	if pool < len(t.pools) {
		t.table = routine.TableOf(t.pools[pool].In(t.all))
		t.at = len(t.table.Takes) - 1
	}
	return t
}

// press answers a key.
func (t Takes) press(k keys.Press) (Takes, tea.Cmd) {
	last := len(t.table.Takes) - 1
	switch {
	case k.Is(t.keys.Leave) && t.pairs:
		t.pairs, t.top = false, 0
	case k.Is(t.keys.Leave):
		return t, func() tea.Msg { return BackMsg{} }
	case t.waiting || t.err != nil || last < 0:
	case k.Is(t.keys.Pool):
		t = t.look((t.pool + 1) % len(t.pools))
	case k.Is(t.keys.Up):
		t.at = max(t.at-1, 0)
		t = t.pair()
	case k.Is(t.keys.Down):
		t.at = min(t.at+1, last)
		t = t.pair()
	case k.Is(t.keys.Open):
		t.pairs = !t.pairs && last > 0
		t = t.pair()
	case k.Is(t.keys.More):
		t.top = min(t.top+t.page(), t.last())
	case k.Is(t.keys.Earlier):
		t.top = max(min(t.top, t.last())-t.page(), 0)
	}
	return t, nil
}

// pair sets the chosen take beside the latest one, the latest beside the one
// before it.
func (t Takes) pair() Takes {
	if !t.pairs {
		return t
	}
	t.beside = len(t.table.Takes) - 1
	if t.beside == t.at {
		t.beside--
	}
	t.rows = routine.Compare(t.table.Takes[t.at], t.table.Takes[t.beside])
	t.top = min(t.top, t.last())
	return t
}
