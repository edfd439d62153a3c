"""How the page looks: ink on paper, one quiet accent, thin rules; one column on a phone, options side by side beyond.

Nothing is told by colour alone, every target can be hit with a thumb, and no width makes the page scroll sideways.
"""

from __future__ import annotations

_GROUND = """
:root{--ink:#1d2529;--quiet:#4f5a60;--accent:#17504a;--pale:#e9f0ee;--paper:#f6f4ef;--rule:#cdd3d1;--edge:#74807f;
--warn:#8a2a1c;color-scheme:light}
*,*::before,*::after{box-sizing:border-box}
html{font:100%/1.5 system-ui,-apple-system,"Segoe UI",Roboto,"Noto Sans","Liberation Sans",sans-serif;color:var(--ink);
background:var(--paper);-webkit-text-size-adjust:100%;text-size-adjust:100%;scroll-padding-bottom:6rem}
body{margin:0;overflow-wrap:anywhere}
[hidden]{display:none!important}
h1,h2,h3,p,dl,dd,ul,ol,fieldset,legend,table{margin:0;padding:0}
h1{font-size:1.5rem;line-height:1.2;letter-spacing:-.01em;text-wrap:balance}
.whole{display:inline-block;max-width:100%}
input{scroll-margin-top:2rem}
h2{font-size:1.25rem;line-height:1.25;color:var(--accent)}
h3{font-size:1rem;line-height:1.35}
ul,ol{list-style-position:outside}
a{color:var(--accent)}
:focus-visible{outline:3px solid var(--accent);outline-offset:3px;border-radius:2px}
.quiet,.dates,caption{color:var(--quiet)}
.dates{margin-top:.25rem}
.notice{margin-top:1rem;padding:.75rem 1rem;border:2px solid var(--warn);border-left-width:8px;background:#fff}
td,th,.price{font-variant-numeric:tabular-nums}
"""

_FRAME = """
header{background:var(--accent);color:#fff}
header .inside,main{max-width:76rem;margin:0 auto;padding:1rem}
header ul{list-style:none;display:flex;flex-wrap:wrap;gap:0 1.25rem;font-size:.925rem}
.shop{font-size:1.2rem;font-weight:700}
main{padding-top:1.5rem;padding-bottom:0}
main>section,.choose,#sending{margin-top:2.25rem}
.at-a-glance{margin-top:1rem;max-width:34rem}
.at-a-glance ul{list-style:none;border-bottom:1px solid var(--rule)}
.at-a-glance li{display:flex;flex-wrap:wrap;justify-content:space-between;gap:0 1rem;border-top:1px solid var(--rule)}
.at-a-glance a,.at-a-glance b{padding:.45rem 0}
.at-a-glance p{color:var(--quiet)}
#yours,.at-a-glance b{font-variant-numeric:tabular-nums}
section>h2{padding-bottom:.35rem;border-bottom:2px solid var(--accent);margin-bottom:.75rem}
.facts{margin-top:1.25rem;display:grid;gap:.5rem}
.facts dt,.terms dt{font-weight:600;color:var(--quiet)}
.terms{display:grid;gap:1rem}
.facts dd,.terms dd,.findings p,.card p,.card li{white-space:pre-line}
.terms dd,.findings p,#decline p{max-width:46rem}
#decline p+p{margin-top:.5rem}
"""

_FINDINGS = """
.findings{padding-left:1.6rem}
.findings>li{padding:.75rem 0 .75rem .25rem;border-top:1px solid var(--rule)}
.findings>li:first-child{border-top:0}
.findings>li::marker{font-weight:700}
.severity{display:inline-block;padding:0 .5rem;border:1px solid var(--edge);border-radius:1rem;font-size:.85rem;
font-weight:600;color:var(--quiet);background:#fff;vertical-align:.05em}
.severity.safety{border:2px solid var(--warn);color:var(--warn)}
.answer{font-weight:600}
.findings img{display:block;width:12rem;max-width:100%;height:auto;margin-top:.5rem;border:1px solid var(--edge)}
"""

_CHOICE = """
fieldset{border:0;min-width:0}
fieldset+fieldset{margin-top:2rem}
legend{width:100%;padding-bottom:.35rem;border-bottom:2px solid var(--accent);margin-bottom:.75rem}
.cards{display:grid;gap:1rem}
.card{display:grid;gap:.75rem;align-content:start;padding:1rem;background:#fff;border:1px solid var(--edge);
border-radius:.5rem;min-width:0}
.card:has(:checked){border-color:var(--accent);box-shadow:0 0 0 3px var(--accent)}
.card ul{padding-left:1.1rem}
.card .short{list-style:none;padding:0;color:var(--quiet)}
.card h3{font-size:.925rem;color:var(--quiet)}
.pick{display:grid;grid-template-columns:auto minmax(0,1fr);gap:.75rem;align-items:start}
.pick label{cursor:pointer;padding:.15rem 0;min-height:2rem}
.card .pick label{padding:0}
input{width:1.5rem;height:1.5rem;margin:.2rem 0 0;accent-color:var(--accent);cursor:pointer}
input:disabled,input:disabled+label{cursor:default}
input:disabled+label{color:var(--quiet)}
.number{display:block;font-size:.925rem;color:var(--quiet)}
.name{display:block;font-size:1.15rem;font-weight:700;line-height:1.25}
.price strong{display:block;font-size:1.75rem;line-height:1.15}
.extras{list-style:none;margin-top:.5rem}
.extras>li{padding:.75rem 0;border-top:1px solid var(--rule)}
.extras label{font-weight:600}
.extras p{padding-left:2.25rem}
.most{color:var(--quiet);font-size:.95rem}
"""

_YOURS = """
.side{margin-top:2rem;min-width:0}
#yours{background:#fff;border:1px solid var(--edge);border-radius:.5rem;padding:1rem}
#chosen{font-weight:700}
#added{padding-left:1.1rem}
#limit:empty{display:none}
#yours .price{margin-top:.5rem}
#yours .price strong{display:block;min-height:1em}
#send label{display:block;font-weight:700;margin-top:.75rem}
#send textarea{max-width:46rem}
.to-send{margin-top:.75rem}
.years,#replace p{max-width:46rem}
#replace p{margin-top:.5rem}
#replace .facts{margin-top:.75rem;gap:.25rem}
.worth{margin-top:1rem}
table{border-collapse:collapse;width:100%}
caption{text-align:left;padding:.25rem 0}
th{text-align:left;font-weight:400}
td{text-align:right}
.figures{margin-top:.5rem}
.figures th,.figures td{padding:.3rem 0;border-top:1px solid var(--rule);vertical-align:bottom}
.figures td{padding-left:.75rem;white-space:nowrap}
tr.total>*,tr.subtotal>*{font-weight:700}
.figures tr.total>*{border-top:2px solid var(--ink);border-bottom:2px solid var(--ink)}
textarea{display:block;width:100%;margin:.5rem 0;padding:.6rem;font:.95rem/1.5 ui-monospace,"DejaVu Sans Mono",Menlo,
Consolas,monospace;color:var(--ink);background:var(--paper);border:1px solid var(--edge);border-radius:.25rem;
resize:vertical}
button,.button{display:inline-block;min-height:2.75rem;padding:.55rem 1rem;margin:.25rem .25rem .25rem 0;font:inherit;
font-weight:600;border:2px solid var(--accent);border-radius:.35rem;cursor:pointer;text-decoration:none}
button{background:var(--accent);color:#fff}
.button{background:#fff;color:var(--accent)}
.bar{position:sticky;bottom:0;z-index:1;display:flex;gap:.25rem 1rem;align-items:center;justify-content:space-between;
margin:2rem -1rem 0;padding:.6rem 1rem;background:var(--ink);color:#fff}
.bar p{font-weight:600}
.bar a{color:#fff;padding:.5rem 0 .5rem .5rem;white-space:nowrap}
.bar a:focus-visible{outline-color:#fff}
"""

_TABLES = """
.stack th,.stack td{vertical-align:bottom}
.lines tbody tr.part>*{font-weight:700}
.lines tbody tr.part>th{color:var(--accent)}
@media screen and (max-width:47.99em){
.stack,.stack tbody,.stack caption{display:block}
.stack thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.stack tr{display:grid;grid-template-columns:repeat(auto-fit,minmax(5.25rem,1fr));gap:.1rem .75rem;padding:.5rem 0;
border-top:1px solid var(--rule)}
.stack.long tr{grid-template-columns:repeat(auto-fit,minmax(8.5rem,1fr))}
.stack th{grid-column:1/-1}
.stack td{text-align:left}
.stack td::before{content:attr(data-column);display:block;font-size:.85rem;font-weight:400;color:var(--quiet)}
.stack td:empty{display:none}
.lines tbody{margin-top:1rem;border-top:2px solid var(--edge)}
.years tbody th{font-weight:700}
}
"""

_WIDE = """
@media (min-width:30em){
.figures tr.total>*{font-size:1.15rem}
.facts>div,.terms>div{display:grid;grid-template-columns:8rem minmax(0,1fr);gap:0 1rem}
#replace .facts>div{grid-template-columns:minmax(0,19rem) minmax(0,1fr)}
}
@media screen and (min-width:48em){
main,header .inside{padding-left:2rem;padding-right:2rem}
.bar{margin-left:-2rem;margin-right:-2rem;padding-left:2rem;padding-right:2rem}
.cards.of-2,.cards.of-3{grid-auto-flow:column;grid-auto-columns:minmax(0,1fr)}
.cards.of-2,.cards.of-3{grid-template-rows:repeat(6,auto);row-gap:0}
.cards.of-2 .card,.cards.of-3 .card{grid-row:span 6;grid-template-rows:subgrid;row-gap:.75rem}
}
@media print,(min-width:48em){
.finding{display:grid;grid-template-columns:minmax(0,46rem) auto;justify-content:space-between;gap:0 1.5rem}
.findings img{margin-top:0}
.stack th,.stack td{padding:.35rem 0 .35rem .75rem;border-top:1px solid var(--rule)}
.stack th:first-child{padding-left:0}
.stack thead th{border-bottom:2px solid var(--ink);border-top:0;font-weight:700;text-align:right}
.stack thead th:first-child{text-align:left}
.lines tbody+tbody tr:first-child>*{padding-top:1rem}
.stack td{white-space:nowrap;min-width:6.5rem}
.lines tr.total>*{border-top:2px solid var(--ink);border-bottom:2px solid var(--ink);font-size:1.1rem}
}
@media screen and (min-width:66em){
.choose{display:grid;grid-template-columns:minmax(0,1fr) 21rem;gap:2rem;align-items:start}
.side{position:sticky;top:1rem;margin-top:0}
.bar{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);margin:0;padding:0}
.bar a{display:none}
}
@media (max-height:24em){.bar{position:static}}
@media (prefers-reduced-motion:no-preference){html{scroll-behavior:smooth}}
"""

_PRINT = """
@media print{
html{background:#fff;font-size:9.5pt}
header{background:none;color:var(--ink);border-bottom:2px solid var(--ink)}
main,header .inside{max-width:none;padding:0 0 .5rem}
.bar,button,.button,#reply-how,.to-send{display:none}
.side{position:static;max-height:none;overflow:visible}
.choose{display:block}
.findings>li,.extras>li,.card,.card li,tr,#yours{break-inside:avoid}
.most,.quiet,caption,.card .short{color:var(--ink)}
h2,h3,legend{break-after:avoid}
.cards.of-2,.cards.of-3{grid-auto-flow:column;grid-auto-columns:minmax(0,1fr)}
@page{margin:12mm}
}
"""

STYLE = "".join((_GROUND, _FRAME, _FINDINGS, _CHOICE, _YOURS, _TABLES, _WIDE, _PRINT)).replace("\n", "")
