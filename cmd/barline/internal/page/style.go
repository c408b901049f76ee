package page

import (
	"fmt"
	"strings"
)

// hue is a colour of the page for each ground. They are Okabe and Ito's (2008,
// Color Universal Design), darker on the light ground so that they hold 4.5:1
// against it and against the window's band.
type hue struct{ name, light, dark string }

var hues = []hue{
	{"ground", "#ffffff", "#14171b"},
	{"band", "#eef3f7", "#222a33"},
	{"ink", "#1b1f24", "#e6e9ec"},
	{"faint", "#555d66", "#a9b3bd"},
	{"rule", "#c9d1d9", "#3b444e"}, // lines that only part
	{"early", "#00608f", "#56b4e9"},
	{"late", "#a33e00", "#f0a04b"},
	{"within", "#00694a", "#2fc39a"},
}

// style returns the style sheet. Paper is light, whatever the screen is.
func style() string {
	var light, dark strings.Builder
	for _, h := range hues {
		fmt.Fprintf(&light, "--%s:%s;", h.name, h.light)
		fmt.Fprintf(&dark, "--%s:%s;", h.name, h.dark)
	}
	return ":root{color-scheme:light dark;" + light.String() + "}\n" +
		"@media screen and (prefers-color-scheme:dark){:root{" + dark.String() + "}}\n" + sheet
}

const sheet = `*{box-sizing:border-box}
body{margin:0;background:var(--ground);color:var(--ink);font:16px/1.5 system-ui,sans-serif}
main{max-width:50rem;margin:0 auto;padding:1.5rem 1rem 3rem}
h1{font-size:2rem;line-height:1.2;margin:0 0 .25rem}
h2{font-size:1.3rem;line-height:1.3;margin:2.2rem 0 .5rem;border-bottom:1px solid var(--rule)}
h3{font-size:1.05rem;margin:1.4rem 0 .4rem}
h1,h2,h3,p,li,figcaption,tbody th{overflow-wrap:anywhere}
tbody th{min-width:6.7rem}
p,ol,ul{margin:.4rem 0 .8rem}
li{margin:.35rem 0}
small,.faint{font-size:.85rem;color:var(--faint)}
small{display:block}
a{color:inherit}
.findings{font-size:1.1rem}
.wide{overflow-x:auto;position:relative}
table{border-collapse:collapse;width:100%;font-size:.875rem;line-height:1.35}
th,td{text-align:left;vertical-align:baseline;padding:.25rem .5rem .25rem 0;border-bottom:1px solid var(--rule)}
th{font-weight:600}
th.n,td.n{text-align:right;font-variant-numeric:tabular-nums;white-space:nowrap}
th.n{white-space:normal}
th[colspan]{padding-top:.8rem;color:var(--faint)}
.why{text-decoration:none;white-space:nowrap}
.unseen{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.grid{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(20rem,100%),1fr));gap:1rem 1.5rem;align-items:end}
figure{margin:.8rem 0;min-width:0}
.grid figure{margin:0}
figcaption{font-size:.9rem;line-height:1.35;margin-bottom:.2rem}
figcaption b{display:block}
svg{display:block;width:100%;height:auto}
.wide svg{min-width:36rem}
text{font:11.5px system-ui,sans-serif;fill:var(--ink)}
text.faint{fill:var(--faint);font-size:10.5px}
text.late{fill:var(--late)}text.early{fill:var(--early)}
text.end{text-anchor:end}text.middle{text-anchor:middle}
.band{fill:var(--band)}
path{fill:none;stroke:var(--ink);stroke-width:1}
path.rule{stroke:var(--rule)}
path.edge{stroke:var(--ink);stroke-width:1.5}
path.limit{stroke:var(--late);stroke-width:1.2;stroke-dasharray:6 3}
path.centre{stroke:var(--faint)}
path.split{stroke:var(--faint);stroke-dasharray:2 3}
path.dots{stroke:var(--ink);stroke-width:1.2;stroke-linejoin:round}
path.round{stroke-width:3.6;stroke-linecap:round}
path.out{stroke:var(--late);stroke-width:1.6}
path.beyond{stroke:var(--late);fill:var(--late)}
path.range{stroke:var(--faint)}
path.tick{stroke:var(--faint)}
path.about{stroke:var(--early);stroke-width:2}
path.sure{stroke-width:2}
rect.within{fill:var(--within)}
rect.early{fill:var(--ground);stroke:var(--early)}
rect.late{fill:var(--ground);stroke:var(--late)}
rect.own{fill:var(--late)}
rect.given{fill:var(--ground);stroke:var(--early);stroke-width:1.5}
path.median{fill:var(--ink);stroke:none}
@page{size:A4;margin:14mm}
@media print{
body{font-size:10.5pt}
.findings{font-size:11.5pt}
table,small,.faint{font-size:8.5pt}
figcaption{font-size:9pt}
main{max-width:none;padding:0}
h1,h2,h3,h2+p,h3+p,thead{break-after:avoid}
figure,li,tr,.whole{break-inside:avoid}
tr:has(th[colspan]){break-after:avoid}
p{orphans:3;widows:3}
thead{display:table-header-group}
.grid{grid-template-columns:1fr 1fr}
.wide{overflow:visible}
.wide svg{min-width:0}
}
`
