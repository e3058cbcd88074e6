"""A made-up console that uses every table of the language."""

from typing import Final

WHOLE: Final = """\
benchlink-console: 1
name: gull
title: Gull
boards: [gull]
asks: [{name: user, prompt: "User", secret: yes}]
opening:
  wake: abandon
  hello: identify
  replies: [{shows: "user: ", line: "{user}"}, {shows: "3 2 1", key: k}, {shows: "9 8", wait: yes}]
  setup: [pager off]
  banner: [boot]
line: {ends-with: LF, charset: latin-1, abandon: 0x15}
answer: {prompt: "> ", ok: [fine], pager: {shows: more, key: " "}}
modes: {edit: {enter: edit, leave: {line: leave}}}
values: {on: "1", off: "0"}
spelling: [{names: ["a"], in: list, radix: 16}, {names: ["b"], clock: h:mm, units: {m: 1/60}}]
settings:
  - list: {steps: [{line: all}]}
    banks: {names: ["1"], of: ["g.*"], select: "bank {bank}", shown: ["bank {bank}"], named: "{bank}/{name}"}
    forms:
      - {pair: "{name}={value}"}
      - {row: "{thing} {cells}", whole: "{key} {value}"}
      - {columns: [{is: name, last: 5}, {is: value, first: 7}]}
      - {columns: [{is: thing, last: 5}, {key: mid, first: 7, written-by: write}]}
      - {row: "{thing} {cells}", cells: values, heads: "out {cells}"}
      - {row: "on: {cells}", cells: flags, keys: [low], listed: "1", unlisted: "0", name: "{key}", read: read-more}
      - {heading: "{part}:"}
      - {block: "{name} <<", closes: ">>"}
aliases: {b: a}
volatile: [clock]
kept: [{names: [a], when: never}]
verbs:
  identify: {line: id}
  readiness: {line: state}
  read: {line: "get {name}"}
  read-more: {line: "more {name}"}
  write: {line: "put {name} {value}", mode: edit}
  write-more: {line: "more {name} {value}"}
  write-lines: {steps: [{line: "{name} <<"}, {line: "{line}"}, {line: ">>"}], give-up: ">>"}
  why: {line: "why", gives: ["{reason}"]}
  stop: {line: halt}
  keep: {steps: [{line: keep, ends: shows, shows: ["sure? "]}, {key: y}]}
outputs: {live: hot, resting: cold, reasons: {e1: no radio}}
hazards:
  harmless: [help]
  held: [{what: restarts, lines: [reset]}, {what: cuts-link, settings: [speed], alone-last: yes, why: it does}]
moving: [{names: ["m.*"], what: motor}]
restart-first: ["m.*"]
never: [{name: a, value: "0", why: it dies}]
roles: {ends: pulses, left-centre: {setting: a, unit: us, scale: 0.5, step: 2}, left-direction: {setting: d, normal: 0}}
pads:
  names: [p1, p2]
  job: "{pad} job"
  words: {tilt-left: L, tilt-right: [R, RR], motor-left: ml, motor-right: mr, nothing: free}
  rate-hz: "{pad} rate"
  shortest-us: 900
  longest-us: "{pad} most"
  by-job:
    tilt-left: {rate-hz: m.rate, shortest-us: 800, longest-us: 2200}
    tilt-right: {rate-hz: 60}
    motor-left: {rate-hz: 400}
    motor-right: {rate-hz: 400}
  timers: {A: [p1, p2]}
  joined: [[p1, p2]]
live:
  outputs: {p1: tilt-left, p2: by-setting}
  motors: {L: motor-left}
  drive: {line: "push {output} {pulse}", pulse: {unit: us, scale: 2, least: 500, most: 1250}, expires-ms: 400}
  release: {line: "ease {output}"}
  spin:
    line: "spin {motor} {percent} {time}"
    percent: {unit: percent, most: 100, places: 1}
    time: {unit: ms, least: 1, most: 900}
readings:
  - line: feel
    gives: ["tilt {roll}", "{n}: {us}", "motors {l} {r}", "sticks {sticks}"]
    unmeasured: ["--"]
    fields:
      roll: {unit: deg, scale: 0.1, reversed: yes}
      us: {is: output, unit: us, index: n, counts-from: 0}
      l: {is: motor-speed, unit: rev/s, number: 1}
      r: {is: motor-speed, unit: rev/s, number: 2}
      sticks: {is: channel, unit: us, split: ","}
"""
