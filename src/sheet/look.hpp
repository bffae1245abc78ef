#pragma once
/// The sheet's style. Colours meet WCAG 2.2 AA in both schemes; on paper everything is black on white.

#include <string_view>

namespace oventide::sheet {

inline constexpr std::string_view kLook = R"css(
:root { color-scheme: light dark; --paper: #fffdf8; --ink: #1d1b16; --soft: #57534a; --rule: #cfc8b8;
  --hands: #23405e; --hands-ink: #ffffff; --machine: #e9e2d0; --heat: #9a2c12; --line: #77705f; }
@media (prefers-color-scheme: dark) {
  :root { --paper: #191713; --ink: #f1ede2; --soft: #b9b2a2; --rule: #48433a;
    --hands: #a9c9ea; --hands-ink: #10202f; --machine: #38342b; --heat: #ff9d7e; --line: #9a9281; } }
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink); font: 1rem/1.4 Arial, "Liberation Sans", "DejaVu Sans Condensed", sans-serif; }
main { max-width: 60rem; margin: 0 auto; padding: 1rem; }
h1 { font-size: 1.7rem; margin: 0 0 .3rem; } h2 { font-size: 1.3rem; margin: 1.6rem 0 .4rem; }
h3 { font-size: 1.1rem; margin: 1rem 0 .2rem; } h4 { font-size: 1rem; margin: .5rem 0 .1rem; color: var(--soft); }
.alarm { font-size: 1.1rem; } .alarm strong { font-size: 1.5rem; font-variant-numeric: tabular-nums; }
.soft { color: var(--soft); }
table { border-collapse: collapse; width: 100%; margin: 0 0 1rem; }
caption { text-align: left; font-weight: bold; padding: .3rem 0; }
th, td { text-align: left; vertical-align: top; padding: .22rem .5rem .22rem 0; border-bottom: 1px solid var(--rule);
  overflow-wrap: break-word; }
.steps, .pickups { table-layout: fixed; } .steps .when { width: 8.2em; } .steps.boxes .when { width: 10em; }
.steps .much { width: 8.5ch; } .steps .slips { width: 10ch; } .steps .state { width: 6ch; } .steps td.slip { padding-right: 0; } .slip { font-variant-numeric: tabular-nums; white-space: nowrap; font-size: .92em; } small { font-size: .85em; white-space: nowrap; } .weigh thead th { width: 20%; } .weigh thead th:first-child { width: auto; }
.weigh th, .weigh caption { overflow-wrap: anywhere; } .weigh td { white-space: nowrap; }
.weigh tbody th:has(.box) { padding-left: 1.6rem; text-indent: -1.6rem; } .weigh { margin-bottom: 1.2rem; }
.title th { font-size: 1.05em; border-bottom: 2px solid var(--ink); white-space: normal; }
.pickups thead th { width: 46%; } .pickups thead th:first-child { width: 20%; } .pickups thead th:nth-child(2) { width: 22%; }
.pickups thead th:last-child { width: 12%; } .pickups td.done { white-space: normal; }
.pickups tr:has(+ .contains) > * { border-bottom: 0; } .contains ul { margin-left: 1rem; } .contains td { padding-top: 0; } .dates { margin: 0 0 .4rem; font-weight: bold; }
@media screen { .of { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); } }
.id, .with { display: inline-block; max-width: 100%; } .id { font-size: .8em; color: var(--soft); font-family: "DejaVu Sans Mono", Consolas, monospace; }
thead th { white-space: nowrap; } tbody th { font-weight: normal; }
.time { font-variant-numeric: tabular-nums; white-space: nowrap; font-weight: bold; }
.panel { margin: 0 0 1rem; } .panel h3 { font-size: 1rem; margin: .6rem 0 .1rem; }
.wide { overflow-x: auto; } .wide:focus-visible { outline: 3px solid var(--hands); }
svg { display: block; width: 100%; min-width: 34rem; max-width: 52rem; height: auto; font-family: inherit; }
svg text { fill: var(--ink); font-size: 12px; } svg .lane { font-weight: bold; }
svg .clock, svg g text { text-anchor: middle; } svg .degrees { fill: var(--heat); } svg .collected { text-anchor: end; }
svg .degrees, svg .beside, svg .collected { paint-order: stroke; stroke: var(--paper); stroke-width: 3px; }
.key li { display: inline-block; border: 0; padding: 0 .9rem 0 0; } .swatch { display: inline-block; width: 1.4em; height: .8em; border: 1px solid var(--line); }
.swatch.hands { background: var(--hands); border-color: var(--hands); } .swatch.wash { border: 1px dashed var(--hands); } .swatch.machine { background: var(--machine); }
.swatch.there { height: 0; border: 0; border-bottom: 2px solid var(--line); vertical-align: .25em; }
svg rect { fill: var(--machine); stroke: var(--line); }
svg .hands rect { fill: var(--hands); stroke: var(--paper); stroke-width: 2; } svg .hands text { fill: var(--hands-ink); }
svg .wash rect { fill: var(--paper); stroke: var(--hands); stroke-dasharray: 3 2; }
svg .solved rect { fill: var(--rule); stroke: none; opacity: .45; } .swatch.solved { background: var(--rule); border: 0; opacity: .45; }
svg .hour, svg .rule { stroke: var(--rule); } svg .pole { stroke: var(--ink); stroke-width: .8; } svg .there { stroke: var(--line); stroke-width: 2; }
svg .heat { fill: none; stroke: var(--heat); stroke-width: 1.6; }
svg .pickup line { stroke: var(--ink); stroke-width: 1.6; stroke-dasharray: 5 3; } svg .pickup path { fill: var(--ink); }
ul { list-style: none; margin: 0; padding: 0; }
li { overflow-wrap: break-word; } .mind li { border: 0; padding: .1rem 0 .1rem 1rem; text-indent: -1rem; }
li { padding: .22rem 0; border-bottom: 1px solid var(--rule); }
.ready li { padding-left: 1.6rem; text-indent: -1.6rem; }
.box { display: inline-block; width: .95rem; height: .95rem; border: 2px solid var(--ink); line-height: .8rem; text-align: center; text-indent: 0; overflow: hidden; margin-right: .6rem;
  vertical-align: -.12rem; }
.first { display: grid; grid-template-columns: repeat(auto-fit, minmax(16rem, 1fr)); gap: 0 1.5rem; margin-bottom: .6rem; }
.here, .here + p, .slips { margin: .1rem 0; } p.slips { color: var(--soft); }
@media screen { .paper { display: none; } }
footer { margin-top: 1.5rem; font-size: .9rem; color: var(--soft); }
@media (max-width: 38rem) {
  .weigh thead th { white-space: normal; } .weigh td, .weigh th { padding-right: .3rem; }
  .weigh thead th:first-child { width: auto; }
  .steps, .pickups, .steps thead, .steps tbody, .pickups tbody { display: block; }
  .steps thead tr + tr, .pickups thead { display: block; position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  .steps tr, .pickups tr { display: block; border-bottom: 1px solid var(--rule); padding: .3rem 0; }
  .steps td, .steps tbody th, .pickups td, .pickups tbody th { display: inline; border: 0; padding: 0 .35rem 0 0; }
  .steps .title, .steps .title th { display: block; border-bottom: 0; padding: 0; }
  .pickups tr:has(+ .contains) { border-bottom: 0; } .contains ul { margin-left: 0; } .pickups .contains td { display: block; }
  .pickups tbody th { font-weight: bold; } .pickups td.items { display: block; } .pickups td.done::before { content: "ready "; }
  .steps tbody th ~ td:not(:empty)::before { content: "\00b7\00a0"; color: var(--soft); } }
@media print {
  :root { color-scheme: light; --paper: #fff; --ink: #000; --soft: #333; --rule: #999; --hands: #222; --hands-ink: #fff;
    --machine: #fff; --heat: #000; --line: #000; print-color-adjust: exact; }
  body { font-size: 11pt; line-height: 1.2; } main { max-width: none; padding: 0; }
  h1 { font-size: 18pt; margin: 0; } h2 { font-size: 13pt; margin: .55rem 0 .1rem; } h3 { font-size: 12pt; margin: .5rem 0 .1rem; }
  h4 { font-size: 12pt; color: inherit; } .told, .twice, .dates, .glance, .rise, .id, footer { display: none; } .id.kept { display: inline-block; font-size: 9pt; color: inherit; }
  .alarm { font-size: 11pt; } .alarm strong { font-size: 15pt; } .alarm li::before { content: "Alarm clock "; font-weight: bold; }
  table { margin-bottom: .5rem; } .time { font-size: 12pt; } .mind { font-size: 10pt; }
  th, td, li { padding-top: .08rem; padding-bottom: .08rem; }
  .box { width: .8rem; height: .8rem; } .steps .when { width: 7.4em; } .steps.boxes .when { width: 8.9em; }
  .wide { overflow: visible; } svg { min-width: 0; max-width: none; } svg .heat { stroke-dasharray: 6 2; }
  .panel { margin: .4rem 0 .4rem; break-inside: avoid; } .over p { margin: 0; font-weight: bold; font-size: 13pt; } .key { font-size: 11pt; } .key li { padding-right: .6rem; }
  .drawing { display: table; width: var(--wide, 100%); } .over { display: table-header-group; } .lanes { display: table-row-group; } .lane { display: table-row; }
  thead { display: table-header-group; } tr, li, p, .over, .lane, .weigh, .pickups tbody { break-inside: avoid; }
  .lane:nth-last-child(2), h2, h3, caption, thead, tbody tr:first-child:not(:last-child), tbody tr:nth-last-child(2) { break-after: avoid; }
  svg .solved rect, .swatch.solved { opacity: .3; }
  .checklist h2, .nobody h3, section:has(> .steps) > h2 { display: none; }
  .nobody { margin-top: .5rem; } .person, .apart { break-before: page; } .person h3 { font-size: 24pt; margin: 0; } .here { font-size: 14pt; }
  p.slips { font-size: 9.5pt; line-height: 1.1; margin-bottom: .3rem; break-after: avoid; }
  .first { grid-template-columns: 1fr 1fr; gap: 0 6mm; break-inside: avoid; } .first .mind { font-size: 10.5pt; }
  .steps td, .steps th { padding-top: .05rem; padding-bottom: .05rem; } .steps:not(.boxes) .time { line-height: 1.15; }
  .boxes { font-size: 12pt; } .boxes td, .boxes th { padding-top: .22rem; padding-bottom: .22rem; } .boxes .time { font-size: 13pt; }
  .close .boxes { font-size: 11pt; } .close .boxes .when { width: 9.4em; } .close .boxes td, .close .boxes th { padding-top: .1rem; padding-bottom: .1rem; } .close .boxes .time { font-size: 12pt; }
  .boxes .box { width: 1rem; height: 1rem; } small { font-size: 9.5pt; }
  .weights { columns: 2; column-gap: 8mm; } .weights .weigh { margin-bottom: .6rem; font-size: 11pt; }
  .after.close .weigh { margin-bottom: .33rem; } .after.close .weigh td, .after.close .weigh th { padding-top: 0; padding-bottom: 0; }
  .weigh td, .weigh th { padding-right: 5pt; } }
)css";

}  // namespace oventide::sheet
