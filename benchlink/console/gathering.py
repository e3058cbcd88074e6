"""Answers of sources in a text, put together as a reading of the board does."""

from dataclasses import replace
from typing import Final, final

from benchlink.console.answer_reading import Reading
from benchlink.console.description import Description, Source
from benchlink.console.listing import Listing
from benchlink.console.template import Template
from benchlink.core.exchange import Answer, Command, Verdict
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.utterance import Reply, Utterance
from benchlink.units import Seconds


@final
class Gathering:
    """Fed with the answers of sources, in their order."""

    def __init__(self, description: Description) -> None:
        self._description: Final = description
        self._listing = Listing(description)
        self._seen: set[tuple[str, str, tuple[str, ...]]] = set()
        self._lines: list[str] = []
        self._begun: Source | None = None
        """The source whose steps were not all there yet."""
        self._known: Final[set[str]] = set()
        """Every line taken: what a listing finds wrong beside them is told apart."""
        self._settings: Final[dict[str, Setting]] = {}
        self.troubles: tuple[str, ...] = ()

    def take(self, reading: Reading, body: list[str], *, certain: bool) -> None:
        """One answer of a source, or of one of its steps."""
        source = reading.question.source
        if source is None:
            return
        if self._begun is not None and self._begun is not source:
            self._take_begun()
        self._begun = source
        if not certain:
            # It may be the answer for one thing: nothing has to tell a count.
            source = replace(source, furniture=_without_counts(source, body))
        self._lines += body
        self._known.update(body)
        if not reading.question.last:
            return
        forms = source.bank_names.shown if source.bank_names else ()
        shown = tuple(line for line in body if any(f.match(line) for f in forms))
        key = (reading.question.line.source, reading.asked, shown)
        lines, self._lines, self._begun = tuple(self._lines), [], None
        if key in self._seen:
            self.close()
        self._seen.add(key)
        self._listing.take(source, _reply(lines), reading.asked)

    def finish(self) -> Snapshot:
        """The last that was told of each setting."""
        self.close()
        return Snapshot(settings=self._settings)

    def close(self) -> None:
        """One whole reading is over: the same was asked again."""
        self._take_begun()
        snapshot = self._listing.finish()
        self._settings.update(snapshot.settings)
        self.troubles += tuple(
            line for line in snapshot.not_understood if line not in self._known
        )
        self._listing = Listing(self._description)
        self._seen = set()

    def _take_begun(self) -> None:
        """Some steps of a source are all that the text holds of it."""
        source = self._begun
        if source is not None:
            source = replace(source, furniture=_without_counts(source, self._lines))
            self._listing.take(source, _reply(tuple(self._lines)))
        self._lines, self._begun = [], None


def _without_counts(source: Source, body: list[str]) -> tuple[Template, ...]:
    """The furniture that is there; a count that is there has to agree."""
    return tuple(
        form
        for form in source.furniture
        if "count" not in form.fields or any(form.match(line) for line in body)
    )


def _reply(lines: tuple[str, ...]) -> Reply:
    command = Command(line="", answer_within=Seconds(1.0))
    answer = Answer(command=command, verdict=Verdict.OK, lines=lines)
    return Reply(utterance=Utterance(commands=(command,)), answers=(answer,))
