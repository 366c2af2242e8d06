import { customProperties, dark, light } from './palette.ts';

const serif = `"Iowan Old Style","Palatino Linotype",Palatino,"URW Palladio L",P052,"Book Antiqua",Georgia,serif`;
const sans = `system-ui,-apple-system,"Segoe UI",Roboto,"Helvetica Neue","Noto Sans","Liberation Sans",Arial,sans-serif`;

/** The whole page's style sheet. The page's policy admits it by its hash alone: see styleHash. */
export const style = `
:root{color-scheme:light dark;${customProperties(light)}}
@media (prefers-color-scheme:dark){:root{${customProperties(dark)}}}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%;text-size-adjust:100%}
body{margin:0;background:var(--paper);color:var(--ink);font:1rem/1.5 ${sans};font-variant-numeric:tabular-nums;overflow-wrap:break-word}
header,main,footer{max-width:66rem;margin:0 auto;padding:0 clamp(1rem,4vw,2.5rem)}
header{padding-top:clamp(1.5rem,5vw,3.5rem)}
h1,h2{font-family:${serif};font-weight:600;line-height:1.15;text-wrap:balance;letter-spacing:-.005em}
h1{font-size:clamp(1.75rem,1.3rem + 2.2vw,2.75rem);margin:.2rem 0 .6rem}
h2{font-size:1.5rem;margin:0 0 .75rem}
h3{font-size:1rem;margin:0 0 .25rem;font-weight:650}
p{margin:0 0 .6rem;max-width:40rem}
a{color:var(--link);text-underline-offset:.15em}
a:focus-visible,summary:focus-visible,.scroller:focus-visible{outline:3px solid var(--link);outline-offset:2px}
section{margin-top:clamp(2.25rem,5vw,3.5rem)}
.eyebrow,.small,figcaption,.why{color:var(--muted);font-size:.875rem}
.eyebrow{margin:0;font-family:inherit;font-weight:400;letter-spacing:0}
.lead{font-size:1.125rem}
.reps{display:grid;grid-template-columns:1fr 1fr;gap:1rem clamp(1rem,4vw,2.5rem);margin:1.25rem 0 1rem}
.reps>div{padding-top:.6rem;border-top:4px solid var(--reference);min-width:0}
.reps>div.today{border-top:4px dashed var(--today)}
.reps p{margin:0;overflow-wrap:anywhere}
.reps .load{font-family:${serif};font-size:1.375rem;line-height:1.3}
.film{padding:.7rem .9rem;background:var(--tint);max-width:none;overflow-wrap:anywhere}
.notice{border-left:4px solid var(--ink);padding:.2rem 0 .2rem .9rem;margin:1rem 0}
.columns{display:grid;gap:clamp(2.25rem,5vw,3.5rem) 3rem}
.columns>section{margin-top:0;min-width:0}
.columns{margin-top:clamp(2.25rem,5vw,3.5rem)}
@media (min-width:58rem){.columns{grid-template-columns:minmax(0,1fr) 22.5rem;align-items:start}}
@media (min-width:58rem) and (min-height:52rem){.path{position:sticky;top:1.5rem}}
ul.changes,ul.plain{padding:0;margin:0;list-style:none}
ul.changes>li{padding:.9rem 0;border-top:1px solid var(--rule);display:grid;gap:.45rem 1.5rem}
ul.changes>li:last-child{border-bottom:1px solid var(--rule);margin-bottom:.9rem}
ul.changes .why{margin-top:.15rem}
ul.changes p{margin:0}
@media (min-width:36rem){ul.changes>li{grid-template-columns:minmax(0,1fr) auto;align-items:start}ul.changes .said{grid-column:1/-1}ul.changes .strip{grid-column:2;grid-row:1}}
.call{display:inline-block;font-size:.8125rem;font-weight:650;line-height:1.3;padding:.12rem .5rem;border:1.5px solid var(--ink);white-space:nowrap}
.call.changed{background:var(--ink);color:var(--paper)}
.call.no-clear-change{border-color:var(--rule)}
.call.cannot-tell{border-style:dotted;border-color:var(--muted)}
.asked{font-family:${serif};font-size:1.25rem;line-height:1.35}
.cue{margin-bottom:1rem}
.cue .words{font-weight:650;margin-bottom:.2rem}
.mainCue .cue .words{font:600 1.5rem/1.25 ${serif}}
.cue .two{margin-top:.8rem}
.record{border-top:1px solid var(--rule);margin-top:clamp(2.25rem,5vw,3.5rem)}
ul.plain>li{max-width:44rem;padding-left:1.1rem;text-indent:-1.1rem;margin-bottom:.4rem}
ul.plain>li::before{content:"–";display:inline-block;width:1.1rem;text-indent:0}
details{margin-top:1rem}
summary{cursor:pointer;padding:.4rem 0;font-weight:600}
figure{margin:0}
.moments figcaption{color:var(--ink);font-size:1rem;font-weight:650;margin:0 0 .5rem}
figcaption{margin-top:.5rem;max-width:40rem}
.chart{display:block;max-width:100%;height:auto;font:12px/1 ${sans};fill:var(--ink);font-variant-numeric:tabular-nums}
.chart .end{text-anchor:end}
.chart .middle{text-anchor:middle}
.axes text{fill:var(--muted)}
.grid,.zero{fill:none;stroke:var(--rule);stroke-width:1}
.zero{stroke:var(--muted)}
.leader{fill:none;stroke:var(--muted);stroke-width:.75}
.line{fill:none;stroke-width:2.5;stroke-linejoin:round}
.line.reference{stroke:var(--reference)}
.line.today{stroke:var(--today);stroke-dasharray:7 4}
.line.down{stroke-width:1.5}
.line.today.down{stroke-dasharray:4 3}
.line.up{stroke-width:3}
.marker{stroke-width:2}
.marker.reference{fill:var(--reference);stroke:var(--reference)}
.marker.today{fill:var(--paper);stroke:var(--today)}
.band,.zone{fill:var(--mid);opacity:.55}
.zone-edge{fill:none;stroke:var(--muted);stroke-width:.75;stroke-dasharray:2 2}
.band{stroke:var(--muted);stroke-width:.75;stroke-dasharray:1 2}
.block{fill:none;stroke:var(--muted);stroke-width:1}
.block.descent{fill:var(--mid)}
.block.drive{fill:var(--ink);stroke:var(--ink)}
.block.pause{stroke-dasharray:2 2}
.block-word.drive{fill:var(--paper)}
.interval{fill:none;stroke:var(--ink);stroke-width:2}
.point{fill:var(--ink)}
.strip text{fill:var(--muted)}
.wide-only{display:none}
@media (min-width:48rem){.wide-only{display:block}.narrow-only{display:none}}
.moments{display:grid;gap:2rem}
@media (min-width:48rem){.moments.upright{grid-template-columns:1fr 1fr}}
.two{display:grid;grid-template-columns:1fr 1fr;gap:.75rem;max-width:50rem}
@media (max-width:30rem){.two.lying{grid-template-columns:1fr}}
.two>div{min-width:0}
.two .chart{width:100%;background:var(--tint)}
.two p{margin:.3rem 0 0;font-size:.875rem}
.still .line{stroke-width:2.5;vector-effect:non-scaling-stroke}
.still .casing{fill:none;stroke:#fff;stroke-width:6;stroke-linejoin:round;stroke-linecap:round;opacity:.9;vector-effect:non-scaling-stroke}
.still .casing-disc{fill:#fff}
.still .marker{vector-effect:non-scaling-stroke}
.still .marker.today{fill:#fff}
.scroller{overflow-x:auto;max-width:100%}
table{border-collapse:collapse;width:100%;font-size:.875rem;line-height:1.35}
caption{text-align:left;color:var(--muted);padding-bottom:.5rem}
th,td{text-align:left;vertical-align:top;padding:.45rem .75rem .45rem 0;border-top:1px solid var(--rule)}
thead th{border-top:0;border-bottom:1.5px solid var(--ink);font-weight:650;white-space:nowrap}
tbody th{font-weight:400}
table.measures{min-width:50rem}
table.phases{max-width:24rem;margin-top:.75rem}
.measures tbody th{position:sticky;left:0;background:var(--paper);max-width:14rem;padding-right:1rem}
table.check{max-width:44rem;margin-bottom:1.5rem}
.clips{display:grid;gap:1.5rem 3rem}
@media (min-width:48rem){.clips{grid-template-columns:1fr 1fr}}
footer{margin-top:3.5rem;padding-top:1rem;padding-bottom:2.5rem;color:var(--muted);font-size:.875rem}
@media print{
@page{size:A4;margin:12mm 14mm}
:root{color-scheme:light;${customProperties(light)}}
html{font-size:9.5pt}
header,main,footer{max-width:none;padding-left:0;padding-right:0}
header{padding-top:0}
section,.columns{margin-top:.8rem}
h1{font-size:17pt;margin:0 0 .3rem}
h2{font-size:12pt;margin-bottom:.3rem}
p,ul.plain>li{max-width:none;margin-bottom:.25rem}
.lead{font-size:1rem}.asked{font-size:1.1rem}
.mainCue .cue .words{font-size:13pt}
.reps{margin:.5rem 0}.reps .load{font-size:1.1rem}
.film{padding:.3rem .6rem}
.cue .two{max-width:13cm;break-inside:avoid}.cue .two.upright{max-width:8cm}
.cue .two .chart{max-height:6.5cm}
h2,h3,thead,caption{break-after:avoid}
li,figure,tr,.reps,.notice,.otherCues .cue{break-inside:avoid}
.columns{grid-template-columns:minmax(0,1fr) 6.4cm;gap:0 .8cm}
.path{position:static}.path .chart{max-height:7.6cm}.path figcaption{font-size:8pt;margin-top:.2rem}
.record,footer{display:none}
.band,.marker,.film{-webkit-print-color-adjust:exact;print-color-adjust:exact}
}
`;

/** SHA-256 of the style sheet, base64, for the page's content security policy; the tests keep it true. */
export const styleHash = 'Piz3uZDhagnKq8UguqjuR+fLdsRZMZstEiyZwG7p03A=';
