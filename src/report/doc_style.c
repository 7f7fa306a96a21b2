/* How a page looks: on a phone, on a desk, in the dark, on paper. Colours are from a set
 * that stays apart for the colour-blind, and never the only sign. */
#include "report/doc_markup.h"

const char *const bt_doc_style[] = {
    "\n:root{color-scheme:light "
    "dark;--ink:#1d2420;--soft:#55605a;--page:#fffdf8;--pane:#f4f1e8;",
    "--rule:#cfc9b8;--deep:#1f5a3c;--mark:#8a5a00}\n",
    "@media (prefers-color-scheme:dark){:root{--ink:#e9ece7;--soft:#aab4ad;--page:#141a17;",
    "--pane:#1e2622;--rule:#3d4842;--deep:#8fd0ae;--mark:#e8b65a}}\n",
    "*{box-sizing:border-box}\n",
    "body{margin:0;background:var(--page);color:var(--ink);font:1rem/1.5 "
    "system-ui,sans-serif}\n",
    "main,footer{max-width:66rem;margin:0 auto;padding:0 1rem}\n",
    "h1,h2,h3{line-height:1.2;text-wrap:balance;overflow-wrap:anywhere}\n",
    "h1{font-size:1.9rem;margin:1.6rem 0 .6rem;color:var(--deep)}\n",
    "h2{font-size:1.4rem;margin:2.4rem 0 .6rem;padding-top:.7rem;border-top:3px solid "
    "var(--deep)}\n",
    "h3{font-size:1.1rem;margin:1.5rem 0 .4rem}\n",
    "p,li,figcaption{overflow-wrap:anywhere}td,th{overflow-wrap:break-word;max-width:24rem}"
    "\n",
    ".d{white-space:nowrap}.long{overflow-wrap:anywhere;min-width:9rem}\n",
    "p{margin:.5rem 0 .8rem;max-width:44rem}\n",
    "a{color:var(--deep)}\n",
    "nav ul{display:flex;flex-wrap:wrap;gap:.2rem 1.1rem;list-style:none;margin:.6rem "
    "0;padding:.6rem 0;",
    "border-top:1px solid var(--rule);border-bottom:1px solid var(--rule)}\n",
    "nav a{display:inline-block;padding:.25rem 0}\n",
    ".note{background:var(--pane);border-left:4px solid var(--mark);padding:.5rem .8rem}\n",
    ".scroll{overflow-x:auto;margin:.7rem 0 1.1rem}\n",
    ".scroll:focus-visible{outline:3px solid var(--deep);outline-offset:2px}\n",
    "col,table{width:auto}table{border-collapse:collapse;min-width:min(100%,46rem);font-"
    "size:."
    "94rem;font-"
    "variant-numeric:"
    "tabular-nums}\n",
    "caption{text-align:start;font-weight:600;padding:.2rem 0 .35rem}\n",
    "th,td{padding:.32rem .7rem .32rem 0;text-align:start;vertical-align:top;",
    "border-bottom:1px solid var(--rule);min-width:4.2rem}\n",
    "thead th{color:var(--soft);font-weight:600;border-bottom:2px solid "
    "var(--ink);vertical-align:bottom}\n",
    "tbody th{font-weight:500;min-width:8rem}\n",
    "th.n,td.n{text-align:right;white-space:nowrap;padding-left:.6rem}\n",
    "thead th.n{white-space:normal}\n",
    "tr.sum>*{border-top:2px solid var(--ink);font-weight:700}\n",
    "table.write td,table.write th{border:1px solid "
    "var(--rule);height:2.1rem;padding:.3rem}\n",
    ".wide{font-size:.86rem}.wide th,.wide td{padding-right:.45rem;min-width:3rem}\n",
    ".unit{display:block;font-weight:400;font-size:.85em}\n",
    "ul{padding-left:1.25rem;margin:.4rem 0 1rem}\nli{margin:.2rem 0;max-width:44rem}\n",
    "ul.ticks,ul.blanks{list-style:none;padding-left:0}\n",
    "ul.ticks li{padding:.25rem 0;border-bottom:1px solid var(--rule)}\n",
    "ul.ticks label{display:flex;gap:.6rem;align-items:flex-start}\n",
    "ul.ticks input{flex:none;width:1.15rem;height:1.15rem;margin:.2rem 0 "
    "0;accent-color:var(--deep)}\n",
    "ul.blanks li{display:flex;gap:.6rem;align-items:flex-end;padding:.3rem 0}\n",
    "ul.blanks .line{flex:1;border-bottom:1px solid "
    "var(--ink);height:1.5rem;min-width:6rem}\n",
    "figure{max-width:46rem;margin:1rem 0 1.3rem;padding:.7rem "
    ".9rem;background:var(--pane);border-radius:.4rem}\n",
    "figcaption{font-weight:600}\n",
    "figure p{color:var(--soft);font-size:.92rem;margin:.3rem 0 .5rem}\n",
    "svg{display:block;width:100%;max-width:36rem;height:auto}\n",
    "svg text{fill:var(--ink);font:14px system-ui,sans-serif}\n",
    "svg .quiet{fill:var(--soft);font-size:12px}svg .small{font-size:11px}\n",
    "svg text:not(.under){paint-order:stroke;stroke:var(--pane);stroke-width:3px}\n",
    "svg .axis,svg .range{stroke:var(--ink);fill:none}\n",
    "svg .grid{stroke:var(--rule)}svg .to{stroke:var(--soft)}\n",
    "svg .part{stroke:var(--pane);stroke-width:1.5}\n",
    "svg .under{fill:#000;font-size:12px;font-weight:700}\n",
    "svg .under.c0{fill:#fff}\n",
    ".key{display:flex;flex-wrap:wrap;gap:.3rem "
    "1rem;list-style:none;padding:0;margin:.3rem 0 .6rem;",
    "font-size:.9rem}\n",
    ".key li{display:flex;gap:.4rem;align-items:baseline}\n",
    ".key "
    "b{display:inline-block;min-width:1.35rem;text-align:center;border-radius:.2rem;color:#"
    "000;",
    "font-size:.8rem;line-height:1.35rem}\n",
    ".key b.c0{background:#0072b2;color:#fff}.key b.c1{background:#e69f00}.key "
    "b.c2{background:#2fae87}",
    ".key b.c3{background:#d58bb4}.key b.c4{background:#7cc4ee}.key "
    "b.c5{background:#e8752a}",
    ".key b.c6{background:#f0e442}.key b.c7{background:#a8a8a8}\n",
    "footer{color:var(--soft);font-size:.85rem;padding-top:1.5rem;padding-bottom:3rem}\n",
    "body.sign main{font-size:1.2rem}\nbody.sign h1{font-size:2.4rem}\nbody.sign "
    "h2{font-size:2rem}\n",
    "@media "
    "(max-width:34rem){h1{font-size:1.5rem}h2{font-size:1.25rem}th,td{padding-right:.5rem}",
    "tbody th{min-width:7rem}}\n",
    "@page{margin:18mm 16mm 20mm;@bottom-right{content:counter(page) ' of ' "
    "counter(pages);",
    "font:9pt sans-serif}}\n",
    "@media "
    "print{:root{--ink:#000;--soft:#333;--page:#fff;--pane:#fff;--rule:#999;--deep:#000;",
    "--mark:#000}\n",
    "table{font-size:8.5pt;min-width:100%}td,th{max-width:none}th,td{min-width:0;padding-"
    "right:5pt}tbody th{min-width:6.5em}.wide{font-size:7.5pt}.wide th,.wide "
    "td{padding:2.5pt "
    "4pt 2.5pt 0}.long{min-width:0}",
    "body{font-size:10pt;print-color-adjust:exact;-webkit-print-color-adjust:exact}",
    "main,footer{max-width:none;padding:0}footer{break-before:avoid;margin-top:8pt}\n",
    "body.sign main{font-size:20pt}body.sign h1,body.sign h2{font-size:38pt}body.sign li{"
    "margin:.4em 0}\n",
    "nav{display:none}.scroll{overflow:visible}a{text-decoration:none;color:inherit}",
    "h1{margin-top:0}h2{margin-top:14pt}svg{max-width:130mm}figure{padding:2mm 3mm}",
    "h2,h2+p,h3,caption,thead,figcaption{break-after:avoid}tr,li,figure,.note,h2+p{break-"
    "inside:"
    "avoid}",
    "tr.sum,tbody tr:nth-last-child(-n+2){break-before:avoid}tbody tr:first-child{break-"
    "after:avoid}",
    "thead{display:table-header-group}.page{break-before:page}",
    "figure{border:1px solid "
    "var(--rule)}p{orphans:3;widows:3;max-width:none}li{max-width:none}}\n",
    NULL};
