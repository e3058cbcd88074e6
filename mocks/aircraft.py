"""The aircraft behind a console: live and kept values, outputs, lamp.

Habits of a real board, each on a few settings only:

* `steady.roll.gain`, `mount.yaw_deg` and `filter.gyro.cut_hz` round silently to their
  steps; all other decimals refuse a finer value.
* `radio.failsafe.throttle_us`, `motor.left.idle_pct`, `motor.right.idle_pct` and the
  `output.*.rate_hz` limit a value that is out of range, with a note; others refuse it.
* Writing `pack.cells` moves `pack.warn_v` and `pack.land_v` without a word.
* `filter.notch.centre_hz` can be written only while `filter.notch.on` is `yes`.
* `log.card.on` takes effect only at a start, and until then the other `log.card.*`
  are refused (on a board with a slot for a memory card).
* `board.uptime_s` is never twice the same.
"""

from typing import TYPE_CHECKING, Final, final

from .catalogue import PACK_LAND_V, PACK_WARN_V
from .demands import number, throttle
from .lamp import Lamp
from .outputs import Outputs
from .quantities import RefusalError
from .settings import Owner
from .store import StoreError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from .airframe import Airframe
    from .drives import Drives
    from .fault_values import ValueFaults
    from .physical import Physical
    from .settings import Setting
    from .store import Store

UPTIME: Final = "board.uptime_s"
_US_PER_MS: Final = 1000
_UPRIGHT_DEG: Final = 25.0
"""Leaning more than this, the board does not go live."""
_LEAST_PACK_V: Final = 1.0


@final
class Aircraft:
    """One board's values and state. Times are integer microseconds."""

    def __init__(
        self, settings: "tuple[Setting, ...]", store: "Store", *, seed: int = 1
    ) -> None:
        self.settings = {setting.name: setting for setting in settings}
        self.live: dict[str, str] = {s.name: s.factory for s in settings}
        self.radio_link = False
        self.lamp = Lamp()
        self.trouble: ValueFaults | None = None
        """What goes wrong with values, while a command is carried out."""
        self.outputs = Outputs(self.true_live, seed)
        self._store = store
        self._booted_us = 0
        self._shown_ms = 0
        self._started_with: dict[str, str] = {}

    @property
    def physical(self) -> "Physical":
        """What the board feels."""
        return self.outputs.physical

    @property
    def drives(self) -> "Drives":
        """What is ordered of the outputs."""
        return self.outputs.drives

    @property
    def airframe(self) -> "Airframe":
        """What hangs on the outputs, and the power."""
        return self.outputs.airframe

    @property
    def outputs_live(self) -> bool:
        """Sticks and attitude drive tilts and motors."""
        return self.outputs.live

    @outputs_live.setter
    def outputs_live(self, live: bool) -> None:
        self.outputs.live = live

    @property
    def kept_count(self) -> int | None:
        """Settings that a load takes from the store; None: nothing is kept."""
        return None if self._store.load() is None else len(self.settings)

    def power_up(self, now_us: int) -> None:
        """Kept values become live, outputs rest."""
        self._booted_us = now_us
        self._shown_ms = 0
        self.radio_link = False
        self.load()
        self._started_with = dict(self.live)
        self.outputs.boot(now_us)

    def power_down(self, now_us: int) -> None:
        """Nothing feeds the board any more."""
        self.radio_link = False
        self.outputs.boot(now_us)

    def kept(self) -> dict[str, str]:
        """The kept values; empty when nothing was ever kept."""
        return self._store.load() or {}

    def after_restart(self) -> dict[str, str]:
        """All values as a restart would bring them."""
        kept = self.kept()
        return {
            s.name: self.live[s.name]
            if s.owner is Owner.MAKER
            else kept.get(s.name, s.factory)
            for s in self.settings.values()
        }

    def load(self) -> None:
        """Kept values become live; what is not kept gets its factory value."""
        kept = self.kept()
        if self.trouble is not None:
            self.trouble.uncover()
        for setting in self.settings.values():
            if setting.owner is not Owner.MAKER:
                self.live[setting.name] = kept.get(setting.name, setting.factory)

    def keep(self) -> int:
        """Live values become kept; gives the board's count of settings."""
        own = (s.name for s in self.settings.values() if s.owner is not Owner.MAKER)
        live = self.true_live()
        self._save({name: live[name] for name in own})
        return len(self.settings)

    def keep_only(self, names: "Iterable[str]") -> None:
        """The live values of these settings become kept; others stay as kept."""
        live = self.true_live()
        self._save(self.kept() | {name: live[name] for name in names})

    def start_over(self) -> None:
        """Factory values become live; calibration stays."""
        if self.trouble is not None:
            self.trouble.uncover()
        for setting in self.settings.values():
            if setting.owner is Owner.BUILDER:
                self.live[setting.name] = setting.factory

    def write(self, name: str, given: str) -> str | None:
        """Change a live value as the console does.

        Returns:
            What to note when the value was not taken as asked.

        Raises:
            RefusalError: Unknown, read-only, locked by another setting, or no value.
        """
        setting = self._require(name)
        if setting.owner is Owner.MAKER:
            msg = f"{name} cannot be written"
            raise RefusalError(msg)
        if setting.needs is not None and self.in_force(setting.needs) != "yes":
            start = (
                ", from a start on" if self.settings[setting.needs].from_start else ""
            )
            msg = f"needs {setting.needs} yes first{start}"
            raise RefusalError(msg)
        if self.trouble is not None:
            return self.trouble.write(setting, given)
        return self.change(setting, given)

    def in_force(self, name: str) -> str:
        """The value that the board acts on: the live one, or that of its last start."""
        begun = self.settings[name].from_start
        return self._started_with[name] if begun else self.live[name]

    def put(self, name: str, given: str) -> None:
        """Change any live value, read-only ones too, as if somebody else had."""
        self.change(self._require(name), given)

    def change(self, setting: "Setting", given: str) -> str | None:
        """Change a live value, and what hangs on it. Raises `RefusalError`."""
        taken = setting.kind.take(given)
        self.live[setting.name] = taken.text
        if setting.name == "pack.cells":
            self.live["pack.warn_v"] = PACK_WARN_V[taken.text]
            self.live["pack.land_v"] = PACK_LAND_V[taken.text]
        return taken.note

    def exchange(self, number: str, store: "Store | None") -> None:
        """Another board stands there: its number, and its store if that differs."""
        self.live["board.number"] = number
        if store is not None:
            self._store = store

    def value(self, name: str, now_us: int) -> str:
        """A live value in text form. Raises `RefusalError`."""
        self._require(name)
        return self._uptime_text(now_us) if name == UPTIME else self.live[name]

    def listing(self, now_us: int) -> "Iterator[tuple[Setting, str]]":
        """All settings with their live values, in the board's order."""
        self.live[UPTIME] = self._uptime_text(now_us)
        live = self.live
        return ((setting, live[name]) for name, setting in self.settings.items())

    def uptime_ms(self, now_us: int) -> int:
        """Time since power-up or restart."""
        return (now_us - self._booted_us) // _US_PER_MS

    def halt(self) -> None:
        """Outputs to rest, and whatever was ordered of them is over."""
        self.outputs_live = False
        self.drives.stop()

    def pulses_us(self, now_us: int) -> tuple[float, ...]:
        """The pulse on every output; 0 where there is none."""
        return self.outputs.pulses_us(now_us)

    def holding_back(self) -> tuple[str, ...]:
        """Why the outputs may not go live."""
        if self.outputs_live:
            return ()
        felt, pack_v = self.physical, self.physical["pack-volts"]
        warn_v = number(self.live, "pack.warn_v", 0.0)
        reasons = {
            "no radio link": not self.radio_link,
            "level not set": self.live["level.set"] == "no",
            "power stick not low": throttle(self.live, felt) > 0,
            "leaning too far": max(abs(felt["roll"]), abs(felt["pitch"]))
            > _UPRIGHT_DEG,
            "no pack": pack_v < _LEAST_PACK_V,
            "pack is low": _LEAST_PACK_V <= pack_v < warn_v,
        }
        return tuple(reason for reason, holds in reasons.items() if holds)

    def _require(self, name: str) -> "Setting":
        setting = self.settings.get(name)
        if setting is None:
            msg = f"no setting is called '{name}'"
            raise RefusalError(msg)
        return setting

    def true_live(self) -> dict[str, str]:
        """Live values as they are, also where an older one is still shown."""
        return self.live if self.trouble is None else self.trouble.true_live()

    def _save(self, values: dict[str, str]) -> None:
        try:
            if self.trouble is None:
                self._store.save(values)
            else:
                self.trouble.keep(self._store, values)
        except StoreError as problem:
            msg = "the store cannot be written"
            raise RefusalError(msg) from problem

    def _uptime_text(self, now_us: int) -> str:
        self._shown_ms = max(self._shown_ms + 1, self.uptime_ms(now_us))
        return f"{self._shown_ms / 1000:.3f}"
