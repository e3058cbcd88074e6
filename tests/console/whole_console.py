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
  replies: [{shows: "user: ", line: "{user}"}, {shows: "3 2 1", key: k}]
  setup: [pager off]
  banner: [boot]
line: {ends-with: LF, abandon: 0x15}
answer: {prompt: "> ", ok: [fine], pager: {shows: more, key: " "}}
modes: {edit: {enter: edit, leave: {line: leave}}}
values: {on: "1", off: "0"}
spelling: [{names: ["a"], in: list, radix: 16}]
settings:
  - list: {steps: [{line: all}]}
    banks: {names: ["1"], of: ["g.*"], select: "bank {bank}", shown: ["bank {bank}"], named: "{bank}/{name}"}
    forms:
      - {pair: "{name}={value}"}
      - {row: "{thing} {cells}", whole: "{key} {value}"}
      - {columns: [{is: name, last: 5}, {is: value, first: 7}]}
      - {heading: "{part}:"}
      - {block: "{name} <<", closes: ">>"}
aliases: {b: a}
volatile: [clock]
kept: [{names: [a], when: never}]
verbs:
  identify: {line: id}
  readiness: {line: state}
  read: {line: "get {name}"}
  write: {line: "put {name} {value}", mode: edit}
  write-more: {line: "more {name} {value}"}
  keep: {steps: [{line: keep, ends: shows, shows: ["sure? "]}, {key: y}]}
outputs: {live: hot, resting: cold}
moving: [{names: ["m.*"], what: motor}]
never: [{name: a, value: "0", why: it dies}]
roles: {tilt left centre: a}
"""
