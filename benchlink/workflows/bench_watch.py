"""What the gate has to know of the board and the bench, and what was confirmed there.

Kept by whoever moves something: when the board was last asked whether its outputs rest
and whether a pack is in, who confirmed what, and what has voided it since.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Final

from benchlink.core import gate
from benchlink.core.cautions import BEFORE_MOTORS
from benchlink.core.confirmation import Asked, PropsOff, confirm_props_off
from benchlink.core.doors import Person
from benchlink.core.gate import PACK_IN_VOLTS, World
from benchlink.core.jobs import Job
from benchlink.core.may_move import MayMove
from benchlink.core.readings import Quantity
from benchlink.core.slips import to_the_letter
from benchlink.core.spin_expiry import Expiry
from benchlink.core.uptime import Uptime
from benchlink.errors import SafetyRefusalError
from benchlink.units import Power, Seconds
from benchlink.workflows.agreement import confirm_hands_clear
from benchlink.workflows.readings import highest
from benchlink.workflows.session import Session, ask_readiness

Clock = Callable[[], Seconds]

OTHER_PACK: Final = float("nan")
"""Volts that no pack has: what was confirmed for another one counts no more."""

LONGEST_GAP: Final = Seconds(10.0)
"""Nobody takes a pack out, screws a propeller on and connects the pack again in less."""

NOBODY_LOOKED: Final = "nobody looked at the pack for a while"

COASTED: Final = Seconds(3.0)
"""After a burst of ours a motor without a propeller stands again."""

TURNS_REV_MIN: Final = 120.0
"""Above what a motor that stands is ever told to do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Who:
    """Whose motions these are."""

    aircraft: str
    operator: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Confirmed:
    """Props off as it was confirmed at one piece of work, and what was seen since."""

    props: PropsOff | None
    pack_volts: float | None
    moved_unasked: bool
    uptime: Uptime | None
    seen_at: Seconds
    """When the pack was last looked at."""


class BenchWatch:
    """The bench as the gate sees it; used on one thread."""

    def __init__(
        self, session: Session, person: Person, clock: Clock, who: Who
    ) -> None:
        self.session = session
        self._person: Final = person
        self._clock: Final = clock
        self._who: Final = who
        self._jobs: Final[dict[str, tuple[Job, int]]] = {}
        """What outputs drive by the board's settings, and the epoch of that."""
        self._world: World | None = None
        self._props: PropsOff | None = None
        self._pack_when_confirmed: float | None = None
        self._pack_seen_at = Seconds(float("-inf"))
        self._was_unseen = False
        """Whether nobody looked at the pack for too long since props off was typed."""
        self._bursts = 0
        self._expiry: Expiry | None = None
        self._spun_until = Seconds(float("-inf"))
        self._moved_unasked = False
        self._uptime: Uptime | None = None
        self._starts = 0
        """How often it was seen to start anew without a word."""
        self.ceiling: Power = gate.CEILING
        """Power of a motor; raised only by the person's word, never above the cap."""

    @property
    def clock(self) -> Clock:
        """The time that its permits go by."""
        return self._clock

    @property
    def who(self) -> Who:
        """Whose motions these are."""
        return self._who

    @property
    def props_off(self) -> PropsOff | None:
        """The confirmation that is at hand; whether it still counts the gate says."""
        return self._props

    @property
    def unseen_for(self) -> Seconds:
        """How long the board has not been looked at; without end before the first look."""
        if self._world is None:
            return Seconds(float("inf"))
        return Seconds(self._clock() - self._world.looked_at)

    @property
    def props_void(self) -> str:
        """Why props off does not count now, by the last look; empty where it counts.

        A board that tells no pack voltage has it confirmed for each piece of work.
        """
        if self._world is None or self._world.pack_volts is None:
            return "nobody knows whether the pack is the one that was there"
        if self._was_unseen and self._props is not None:
            return NOBODY_LOOKED
        world = self._as_confirmed(self._world)
        return gate.against_props_off(world, self._props, self._clock())

    @property
    def confirmed(self) -> Confirmed:
        """For the work that comes next."""
        return Confirmed(
            props=self._props,
            pack_volts=self._pack_when_confirmed,
            moved_unasked=self._moved_unasked,
            uptime=self._uptime,
            seen_at=self._pack_seen_at,
        )

    def go_on_from(self, last: Confirmed) -> None:
        """What was confirmed at the work before, by whoever has watched ever since."""
        self._props = last.props
        self._pack_when_confirmed = last.pack_volts
        self._moved_unasked = last.moved_unasked
        self._uptime = last.uptime
        self._pack_seen_at = last.seen_at

    def known(self, jobs: Mapping[str, Job], epoch: int | None = None) -> None:
        """What the outputs drive, by the settings as they were read in an epoch."""
        read_in = self.session.board.epoch if epoch is None else epoch
        self._jobs.update({output: (job, read_in) for output, job in jobs.items()})

    def look(self) -> World:
        """Ask the board afresh whether its outputs rest and whether a pack is in.

        Raises:
            LinkError: it does not answer.
        """
        self.session = ask_readiness(self.session)
        asked = (Quantity.PACK_VOLTS, Quantity.UPTIME)
        before = self._clock()
        # The highest: with two packs, one that is in counts.
        volts, uptime = highest(self.session, *asked)
        self._notice_a_gap(before, volts)
        self._notice_another_pack(volts)
        self._notice_a_start(uptime)
        self._notice_motion()
        readiness = self.session.readiness
        expiry = self._expiry
        self._world = World(
            ready=True,
            epoch=self.session.board.epoch,
            looked_at=self._clock(),
            armed=None if readiness is None else readiness.armed,
            aircraft=self._who.aircraft,
            operator=self._who.operator,
            pack_volts=volts,
            hands_clear=self.session.hands_clear,
            expiry=expiry.within if expiry else None,
            expiry_with_pack=expiry is not None and expiry.pack_in is not False,
            expiry_epoch=expiry.epoch if expiry else 0,
        )
        return self._world

    def _as_confirmed(self, world: World) -> World:
        """A look, beside what has voided a confirmation since it was given."""
        return replace(
            world,
            pack_when_confirmed=self._pack_when_confirmed,
            bursts_since_confirmed=self._bursts,
            moved_unasked=self._moved_unasked,
        )

    def _notice_a_gap(self, asked_at: Seconds, volts: float | None) -> None:
        """Between two looks too far apart, a pack may be out and in again, as it was."""
        unseen = self._clock() - self._pack_seen_at
        if volts is None:
            return
        self._pack_seen_at = asked_at
        if self._props is not None and unseen > LONGEST_GAP:
            self._was_unseen = True
            self._pack_when_confirmed = OTHER_PACK

    def _notice_another_pack(self, volts: float | None) -> None:
        """Whoever had the pack out may have had a prop on: only a new word counts."""
        then = self._pack_when_confirmed
        if volts is None or then is None:
            return
        if abs(volts - then) >= gate.PACK_STEP_VOLTS:
            self._pack_when_confirmed = OTHER_PACK

    def _notice_a_start(self, told: float | None) -> None:
        """Void what was confirmed before a start that the console said nothing of."""
        if told is None:
            return
        before, now = self._uptime, Uptime(Seconds(told), self._clock())
        self._uptime = now
        if before is None or before.ran_on(now):
            return
        if self._props or self._expiry or self.session.hands:
            self._person.tell(
                "The board has started anew: nothing confirmed counts now."
            )
        self.forget()

    def forget(self) -> None:
        """Nothing counts that was confirmed, proven or known of the board before."""
        self._starts += 1
        self._props = self._expiry = None
        self.session = replace(self.session, hands=None)
        self._jobs.clear()

    def _notice_motion(self) -> None:
        """A motor that turns though nobody let it voids the confirmation of props off."""
        stands = self._clock() > self._spun_until + COASTED
        if self._props is None or self._moved_unasked or not stands:
            return
        (fastest,) = highest(self.session, Quantity.MOTOR_SPEED)
        if fastest is not None and fastest > TURNS_REV_MIN:
            self._moved_unasked = True
            self._person.tell(
                f"A MOTOR TURNS ({fastest:.0f} rev/min) and nothing here runs it: pull the"
                " pack, from behind the disc. Props off has to be confirmed anew."
            )

    def confirm_hands_clear(self, what: tuple[str, ...]) -> None:
        """Ask for the typed words, unless they count already.

        Raises:
            SafetyRefusalError: nobody typed them.
        """
        if self.session.hands_clear:
            return
        moving = tuple(map(MayMove, what))
        hands = confirm_hands_clear(
            moving, self._person, self.session, so_far="Nothing moved."
        )
        self.session = replace(self.session, hands=hands)
        self._world = None

    def confirm_props_off(self) -> None:
        """Say the cautions and ask for the typed sentence.

        Raises:
            SafetyRefusalError: anything else was typed, or nobody can type.
        """
        for sentence in BEFORE_MOTORS:
            self._person.tell(sentence)
        self.look()
        starts = self._starts
        asked = Asked(
            aircraft=self._who.aircraft,
            operator=self._who.operator,
            epoch=self.session.board.epoch,
        )
        prompt = f"{self._who.operator}, type `{asked.sentence}` once you have looked: "
        typed = to_the_letter(self._person.types, prompt, asked.sentence)
        props = confirm_props_off(asked, typed, self._clock())
        volts = self.look().pack_volts
        if self._starts != starts or self.session.board.epoch != asked.epoch:
            msg = "the board started anew while props off was typed"
            raise SafetyRefusalError(
                msg, hint="Nothing moves. Look again, then start over."
            )
        self._pack_when_confirmed = volts
        self._was_unseen = False
        self._props = props
        self._bursts = 0
        self._moved_unasked = False

    def require_safe_to_tilt(self, what: tuple[str, ...]) -> None:
        """All that a person has to confirm before an arm is moved.

        Raises:
            SafetyRefusalError: somebody did not.
        """
        self.confirm_hands_clear(what)
        volts = self.look().pack_volts
        if volts is not None and volts <= PACK_IN_VOLTS:
            return
        if volts is None:
            self._person.tell(
                "This board does not tell whether a pack is in, so it may be."
                " First choice: pack out, servo rail from a bench supply."
            )
        else:
            self._person.tell(
                f"A pack is in ({volts:.1f} V). First choice for this: pack out, servo"
                " rail from a bench supply."
            )
        if self.props_void:
            self.confirm_props_off()

    def confirm_anew_after_a_gap(self) -> None:
        """Props off once more, where a pack is in and nobody looked at it for a while.

        Raises:
            SafetyRefusalError: it was not typed.
        """
        if self._props is None:
            return
        stale = self._world is None or self.unseen_for > LONGEST_GAP
        world = self.look() if stale or self._world is None else self._world
        volts = world.pack_volts
        if self.props_void == NOBODY_LOOKED and volts and volts > PACK_IN_VOLTS:
            self._person.tell(
                f"{NOBODY_LOOKED.capitalize()}: props off counts no more."
            )
            self.confirm_props_off()

    def proven_expiry(self, expiry: Expiry) -> None:
        """The board was seen to end a motion by itself, in this epoch."""
        self._expiry = expiry
        self._world = None


def require_operator(name: str) -> str:
    """Who works here, typed or told.

    Raises:
        SafetyRefusalError: nobody.
    """
    if not name.strip():
        msg = "nobody said who is working here"
        raise SafetyRefusalError(
            msg,
            hint="Nothing moved, nothing was written. Begin again and type a name or"
            " initials when asked who works here; on a command line `--operator NAME`"
            " says it as well.",
        )
    return name.strip()
