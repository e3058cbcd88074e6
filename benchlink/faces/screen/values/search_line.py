"""A part of a name as it is typed."""

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchLine:
    """What was typed, and whether the next key still belongs to it."""

    text: str = ""
    typing: bool = False

    def pressed(self, key: str, character: str | None) -> "SearchLine | None":
        """After a key; None where the key is nothing to a line."""
        match key:
            case "escape":
                return SearchLine()
            case "enter":
                return replace(self, typing=False)
            case "backspace":
                return replace(self, text=self.text[:-1])
            case _ if character and character.isprintable():
                return replace(self, text=self.text + character)
            case _:
                return None

    def pasted(self, text: str) -> "SearchLine":
        """After a paste, of which the first line counts."""
        first = text.strip().partition("\n")[0]
        return replace(self, text=self.text + "".join(filter(str.isprintable, first)))
