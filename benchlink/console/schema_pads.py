"""Reading which settings decide what the pads of a board do."""

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Final

from benchlink.console.pads import NOT_SAID, Figure, Figures, Pads
from benchlink.console.schema_lines import plain, template_of
from benchlink.core.document import Items, Node, Scalar, TableReader
from benchlink.core.jobs import Job
from benchlink.core.outputs import JOBS
from benchlink.core.values import decimal_or_none

PAD: Final = frozenset({"pad"})


def pads_of(reader: TableReader, driven: Mapping[str, Job]) -> Pads | None:
    """What a description tells of the pads; `driven` are the live outputs it names."""
    table = reader.table("pads", "`pads:`")
    if table is None:
        return None
    names = plain(table, "names")
    job = template_of(table, table.need("job"), PAD, only=PAD)
    words = table.table("words", "`words:` of the pads")
    if words is None:
        table.problems.add(table.place, "`pads:` needs `words:`, one for each job")
    by_word, nothing = _words(words)
    figures = _figures(table)
    by_job = _by_job(table.table("by-job", "`by-job:` of the pads"))
    timers = dict(_timers(table.table("timers", "`timers:` of the pads")))
    joined = tuple(_joined(table))
    table.finish()
    if job is None:
        return None
    pads = Pads(
        names=names,
        job=job,
        words=by_word,
        nothing=nothing,
        figures=figures,
        by_job=by_job,
        timers=timers,
        joined=joined,
    )
    _check(table, pads, driven)
    return pads


def _words(table: TableReader | None) -> tuple[Mapping[str, Job], tuple[str, ...]]:
    """The board's words for each job, and for none."""
    if table is None:
        return {}, ()
    found = {word: job for job in JOBS for word in plain(table, job.value)}
    nothing = plain(table, "nothing")
    table.finish()
    for job in JOBS:
        if job not in found.values():
            table.problems.add(table.place, f"{table.what} needs `{job.value}:`")
    return found, nothing


def _by_job(table: TableReader | None) -> Mapping[Job, Figures]:
    if table is None:
        return {}
    rows = {job: table.table(job.value, f"the job {job.value}") for job in JOBS}
    table.finish()
    found: dict[Job, Figures] = {}
    for job, row in rows.items():
        if row is not None:
            found[job] = _figures(row)
            row.finish()
    return found


def _figures(table: TableReader) -> Figures:
    return Figures(
        rate_hz=_figure(table, "rate-hz"),
        shortest_us=_figure(table, "shortest-us"),
        longest_us=_figure(table, "longest-us"),
    )


def _figure(table: TableReader, key: str) -> Figure:
    """A number that is fixed, or the name of the setting that holds it."""
    node = table.take(key)
    number = decimal_or_none(node.text) if isinstance(node, Scalar) else None
    if number is not None and number > 0:
        return Figure(fixed=float(number))
    named = template_of(table, node, only=PAD)
    return Figure(named=named) if named else NOT_SAID


def _timers(table: TableReader | None) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Names of timers, and the pads on each."""
    for entry in table.entries() if table else ():
        yield entry.key.text, _texts(entry.value)


def _joined(table: TableReader) -> Iterator[tuple[str, ...]]:
    """Groups of pads that carry one pulse."""
    node = table.take("joined")
    if node is None:
        return
    for item in node.items if isinstance(node, Items) else ():
        pads = _texts(item)
        if len(pads) > 1:
            yield pads
            continue
        table.problems.add(item.place, "`joined:` has a group of fewer than two pads")
    if not isinstance(node, Items):
        table.problems.add(node.place, "`joined:` is a list of groups of pads")


def _texts(node: Node) -> tuple[str, ...]:
    items = node.items if isinstance(node, Items) else (node,)
    return tuple(item.text for item in items if isinstance(item, Scalar))


def _check(table: TableReader, pads: Pads, driven: Mapping[str, Job]) -> None:
    """Every pad that is spoken of is one, each on one timer."""
    known = set(pads.names)
    spoken = [pad for group in (*pads.timers.values(), *pads.joined) for pad in group]
    for pad in dict.fromkeys(pad for pad in spoken if pad not in known):
        table.problems.add(table.place, f"`names:` of the pads has no {pad!r}")
    for pad, job in driven.items():
        if job is Job.BY_SETTING and pad not in known:
            table.problems.add(
                table.place, f"`names:` of the pads lacks the live output {pad!r}"
            )
    timed = Counter(pad for group in pads.timers.values() for pad in group)
    for pad in (pad for pad, count in timed.items() if count > 1):
        table.problems.add(table.place, f"`timers:` has {pad!r} twice")
