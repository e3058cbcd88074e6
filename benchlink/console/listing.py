"""From the answers of a board to a snapshot, every line accounted for."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Final, final

from benchlink.console.cells import Cell, Layout, Mark
from benchlink.console.description import Description, Kept, Source
from benchlink.console.forms import Heading, Pair, forms_for
from benchlink.console.framing import first_match
from benchlink.console.spelling import Where
from benchlink.core.intent import matches_any
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.utterance import Reply

OWN_READ_ONLY: Final = {Mark.READ_ONLY}


@final
class Listing:
    """Fed with the replies of one reading, in their order."""

    def __init__(self, description: Description) -> None:
        self._description: Final = description
        self._settings: Final[dict[str, Setting]] = {}
        self._strange: Final[list[str]] = []
        self._verbatim: Final = bytearray()
        self._counted: list[tuple[str, str]] = []
        self._cells = 0
        self._bank = ""
        self.home = ""
        """The bank that was selected when the reading began."""

    def take(self, source: Source, reply: Reply, asked: str = "") -> None:
        """Read one reply of a source; `asked` is the name, or the bank, it was asked for."""
        by_bank = source.listed_banks is not None
        layout = Layout(asked="" if by_bank else asked)
        self._counted, self._cells = [], 0
        self._bank = asked if by_bank else ""
        self._verbatim.extend(reply.raw)
        names_before = set(self._settings)
        for line in reply.lines:
            for piece in self._description.spelling.pieces(line, source.split):
                self._take_line(source, piece, layout, names_before)
        if layout.open_block is not None:
            self._strange.append(f"{layout.block_name} (it never ended)")
        self._strange.extend(self._count_troubles(source))

    def finish(self) -> Snapshot:
        """The whole reading."""
        return Snapshot(
            settings=self._settings,
            not_understood=tuple(self._strange),
            verbatim=bytes(self._verbatim),
        )

    def _take_line(
        self, source: Source, line: str, layout: Layout, before: set[str]
    ) -> None:
        if layout.open_block is not None:
            self._place(source, line, layout.open_block.go_on(line, layout), before)
            return
        if self._is_furniture(source, line) or _frames(source, line):
            return
        for form in forms_for(source.forms, line):
            cells = form.take(line, layout)
            if cells is not None:
                self._place(source, line, cells, before)
                return
        if line.strip():
            self._strange.append(line)

    def _is_furniture(self, source: Source, line: str) -> bool:
        if source.bank_names is not None:
            shown = first_match(source.bank_names.shown, line)
            if shown is not None:
                return self._is_of_bank(source, shown["bank"])
        fields = first_match(source.furniture, line)
        if fields is not None and "count" in fields:
            self._counted.append((line, fields["count"]))
        return fields is not None

    def _is_of_bank(self, source: Source, bank: str) -> bool:
        """Whether the list may show this bank: not another than was asked for."""
        if source.listed_banks is not None and self._bank not in {"", bank}:
            return False
        self._bank = bank
        if source.banks is not None:
            self.home = self.home or bank
        return True

    def _place(
        self, source: Source, line: str, cells: tuple[Cell, ...], before: set[str]
    ) -> None:
        for cell in cells:
            self._cells += 1
            if source.only_limits:
                self._limit(cell)
            elif cell.name not in self._description.aliases:
                self._add(source, line, cell, before)

    def _add(self, source: Source, line: str, cell: Cell, before: set[str]) -> None:
        setting = self._setting(source, cell)
        if setting.address.get("bank") == "":
            self._strange.append(f"{line} (no line told the bank)")
            return
        known = self._settings.get(setting.name)
        if known is None:
            self._settings[setting.name] = setting
            return
        # Settings that all banks share are listed again with every bank.
        shared = source.bank_names and setting.name in before
        shared = shared and "bank" not in setting.address
        if not (shared and (known.volatile or known.raw == cell.raw)):
            self._strange.append(f"{line} (a second {setting.name})")

    def _setting(self, source: Source, cell: Cell) -> Setting:
        description, traits = self._description, cell.traits
        name, address = self._named(source, cell)
        return Setting(
            name=name,
            value=description.spelling.codec(name, Where.LIST).read(cell.raw),
            raw=cell.raw,
            writable=traits.writable
            and cell.mark not in OWN_READ_ONLY
            and not matches_any(description.read_only, name),
            board_owned=traits.board_owned
            or cell.mark is Mark.BOARD_OWNED
            or matches_any(description.board_owned, name),
            volatile=matches_any(description.volatile, name),
            address=address,
            written_by=traits.written_by,
            read_by=traits.read_by,
            together=cell.address.get("thing", "") if traits.cell else "",
            partly=traits.whole is None,
            cell=traits.cell,
            between=traits.between,
            never_kept=description.when_kept(name) is Kept.NEVER,
        )

    def _named(self, source: Source, cell: Cell) -> tuple[str, Mapping[str, str]]:
        banks = source.bank_names
        address = {"name": cell.name, **cell.address}
        if banks is None or not matches_any(banks.of, cell.name):
            return cell.name, address
        bank = {"bank": self._bank}
        name = banks.named.render({**bank, "name": cell.name})
        if source.banks is not None:
            # What has to be selected is put back to what was selected before.
            bank["home"] = self.home
        return name, address | bank

    def _limit(self, cell: Cell) -> None:
        """What a second list tells of a setting that the first one listed."""
        known = self._settings.get(cell.name)
        if known is None or cell.mark is None:
            return
        self._settings[cell.name] = replace(
            known,
            writable=cell.mark is not Mark.READ_ONLY,
            board_owned=cell.mark is Mark.BOARD_OWNED,
        )

    def _count_troubles(self, source: Source) -> tuple[str, ...]:
        """Every line that counts the settings must agree, and one of them must come."""
        counts = any("count" in form.fields for form in source.furniture)
        if counts and not self._counted:
            return (f"(no line told the count of these {self._cells} settings)",)
        return tuple(
            f"{line} (but {self._cells} were listed)"
            for line, count in self._counted
            if (count.lstrip("0") or "0") != str(self._cells)
        )


def _frames(source: Source, line: str) -> bool:
    """Whether the line is the header or the closing line of the answer."""
    marks = (mark for step in source.ask.steps for mark in step.form.marks)
    return first_match(tuple(marks), line) is not None


def names_in_order(source: Source) -> tuple[str, ...]:
    """What to ask for: each name, each bank, or once for the whole list."""
    banks = source.listed_banks
    return source.each or (banks.names if banks else ("",))


def has_names(source: Source) -> bool:
    """Whether the lines of this source name their settings themselves."""
    return all(
        isinstance(form, Heading)
        or not isinstance(form, Pair)
        or form.name is not None
        or "name" in form.template.fields
        for form in source.forms
    )
