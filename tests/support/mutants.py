"""A module with one line changed, to see that somebody would notice."""

import inspect
from types import ModuleType
from typing import Final, final


@final
class Mutant:
    """One change of the text of a module."""

    def __init__(self, old: str, new: str) -> None:
        self.old: Final = old
        self.new: Final = new

    def __repr__(self) -> str:
        return f"{self.old!r} -> {self.new!r}"

    def of(self, module: ModuleType) -> ModuleType:
        """The module so changed; the real one is left alone."""
        text = inspect.getsource(module)
        assert text.count(self.old) == 1, f"{self.old!r} is not there once"
        changed = ModuleType(module.__name__)
        code = compile(text.replace(self.old, self.new), f"{module.__file__}*", "exec")
        exec(code, vars(changed))  # noqa: S102 - our own text
        return changed
